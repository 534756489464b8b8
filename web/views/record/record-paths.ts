export function recordPath(cookoutId: string): string {
  return `/api/cookouts/${encodeURIComponent(cookoutId)}/record.json`;
}

export function csvPath(cookoutId: string): string {
  return `/api/cookouts/${encodeURIComponent(cookoutId)}/record.csv`;
}
