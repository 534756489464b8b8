/** A reason not to start that the person who starts it can do something about. */
export class StartRefused extends Error {}

export function portRefused(setting: string, port: number, error: NodeJS.ErrnoException): Error {
  if (error.code === 'EADDRINUSE')
    return new StartRefused(`${setting}: port ${port} is in use by another program`);
  if (error.code === 'EADDRNOTAVAIL')
    return new StartRefused('TONGSIDE_BIND: this machine has no such address');
  return error;
}

export function hostText(bind: string): string {
  return bind.includes(':') ? `[${bind}]` : bind;
}
