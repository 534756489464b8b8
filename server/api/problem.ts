import type { ErrorRequestHandler, Request, Response } from 'express';
import * as z from 'zod/mini';
import type { Problem } from '../contract/api.ts';
import type { Log } from '../ports.ts';

type FieldError = { field: string; message: string };

/** An answer that is not what was asked for: RFC 9457 problem details. */
export class HttpProblem extends Error {
  readonly status: number;
  readonly title: string;
  readonly errors: FieldError[];

  constructor(status: number, title: string, errors: FieldError[] = []) {
    super(title);
    this.status = status;
    this.title = title;
    this.errors = errors;
  }
}

export function notFound(what: string): HttpProblem {
  return new HttpProblem(404, `No such ${what}`);
}
export function wrongField(field: string, message: string): HttpProblem {
  return new HttpProblem(400, 'Something in the request is not right', [{ field, message }]);
}

/** The body by its schema, or a problem that names every field. */
export function parseBody<T>(schema: z.core.$ZodType<T>, body: unknown): T {
  const parsed = z.safeParse(schema, body);
  if (parsed.success) return parsed.data;
  const errors = parsed.error.issues.flatMap((issue) =>
    issue.code === 'unrecognized_keys'
      ? issue.keys.map((key) => ({ field: [...issue.path, key].join('.'), message: 'no such field' }))
      : [{ field: issue.path.join('.') || 'body', message: issue.message }],
  );
  throw new HttpProblem(400, 'Something in the request is not right', errors);
}

export function sendProblem(res: Response, problem: HttpProblem): void {
  const body: Problem = {
    type: 'about:blank',
    title: problem.title,
    status: problem.status,
    ...(problem.errors.length > 0
      ? { detail: problem.errors.map((e) => `${e.field}: ${e.message}`).join('; '), errors: problem.errors }
      : {}),
  };
  res.status(problem.status).type('application/problem+json').send(JSON.stringify(body));
}

/** Disk full, over quota, read-only, not allowed, broken. */
const FILE_FAULTS = new Set(['ENOSPC', 'EDQUOT', 'EROFS', 'EACCES', 'EPERM', 'EIO']);

type Faults = { log: Log; isStoreFault: (error: unknown) => boolean };

/** The last handler: known problems as they are, anything else as 500 without its inside. */
export function problemHandler({ log, isStoreFault }: Faults): ErrorRequestHandler {
  return (error: unknown, req: Request, res: Response, next): void => {
    if (res.headersSent) {
      next(error);
      return;
    }
    if (error instanceof HttpProblem) sendProblem(res, error);
    else if (error instanceof URIError)
      sendProblem(res, new HttpProblem(400, 'The address is not well formed'));
    else if (error instanceof SyntaxError)
      sendProblem(
        res,
        new HttpProblem(400, 'The body is not JSON', [{ field: 'body', message: 'not JSON' }]),
      );
    else if (isFaultOfSender(error)) sendProblem(res, new HttpProblem(error.status, titleOf(error.status)));
    else if (isStoreFault(error) || isFileFault(error)) {
      log.error({ err: error, method: req.method, path: req.path }, 'the store cannot be written');
      sendProblem(res, new HttpProblem(503, 'It cannot be kept just now; nothing was changed. Try again'));
    } else {
      log.error({ err: error, method: req.method, path: req.path }, 'request failed');
      sendProblem(res, new HttpProblem(500, 'The server could not do it; nothing was changed'));
    }
  };
}

/** What the parser of the body finds wrong with it says so by its status. */
function isFaultOfSender(error: unknown): error is Error & { status: number } {
  if (!(error instanceof Error) || !('status' in error)) return false;
  const { status } = error;
  return typeof status === 'number' && status >= 400 && status < 500;
}

function titleOf(status: number): string {
  if (status === 413) return 'The body is too large';
  if (status === 415) return 'The body cannot be read: send JSON in UTF-8, not packed';
  return 'The body cannot be read';
}

/** A file beside the store that cannot be written, such as the mapping. An error with a status is about a page that was read. */
function isFileFault(error: unknown): boolean {
  return (
    error instanceof Error && !('status' in error) && 'code' in error && FILE_FAULTS.has(String(error.code))
  );
}
