import { readFileSync } from 'node:fs';

const NS_PER_MS = 1e6;
/** Clock ticks of /proc a second: USER_HZ, 100 on every Linux that Node runs on (proc(5), sysconf(3)). */
const TICKS_PER_S = 100;
/** Counted after the name in brackets: utime is field 14, stime 15 (proc(5)). */
const UTIME_AT = 11;

/** Milliseconds of the machine's monotonic clock: the same line of time in every process. */
export function monoMs(): number {
  return Number(process.hrtime.bigint()) / NS_PER_MS;
}

/** Processor time that a process has used in all its threads, seconds; NaN where there is no /proc. */
export function cpuSecondsOf(pid: number): number {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    return (Number(fields[UTIME_AT]) + Number(fields[UTIME_AT + 1])) / TICKS_PER_S;
  } catch {
    return Number.NaN; // not Linux: the figure is not measured
  }
}

/** Resident memory, MB; NaN where there is no /proc. */
export function residentMbOf(pid: number): number {
  try {
    const kb = /^VmRSS:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
    return Number(kb) / 1024;
  } catch {
    return Number.NaN; // not Linux: the figure is not measured
  }
}
