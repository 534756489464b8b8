/** Whether the name is a time zone that dates can be worked out in, such as Europe/London. */
export function isTimeZone(name: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: name });
    return true;
  } catch {
    return false; // the only way Intl tells that a zone is unknown
  }
}
