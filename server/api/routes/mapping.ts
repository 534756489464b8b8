import { Router } from 'express';
import { ForgetTopicSchema, MappingTryInputSchema, type MappingAnswer } from '../../contract/mapping-api.ts';
import { parseMapping, type MappingProblem } from '../../contract/mapping-problems.ts';
import type { Mapping, MappingDocument } from '../../contract/mapping.ts';
import type { MappingDesk } from '../mapping-desk.ts';
import { HttpProblem, notFound, parseBody, wrongField } from '../problem.ts';

type Body = { mapping: Mapping; document: MappingDocument };

/** A whole document, or a problem that names everything that is wrong with it. */
function mappingOf(document: unknown, fieldOf: (path: string) => string): Body {
  const parsed = parseMapping(document);
  if (parsed.ok) return parsed;
  const errors = parsed.problems.map(({ path, message }: MappingProblem) => ({
    field: fieldOf(path),
    message,
  }));
  throw new HttpProblem(400, 'The mapping is not right; nothing was changed', errors);
}

function payloadOf({
  payloadText,
  payloadHex,
}: {
  payloadText?: string | undefined;
  payloadHex?: string | undefined;
}): Uint8Array {
  if ((payloadText === undefined) === (payloadHex === undefined))
    throw wrongField('payloadText', 'give either payloadText or payloadHex');
  return payloadText === undefined ? Buffer.from(payloadHex ?? '', 'hex') : Buffer.from(payloadText, 'utf8');
}

/** The mapping file, a trial of it, and the topics on which something was heard that nobody understood. */
export function mappingRoutes(desk: MappingDesk): Router {
  const router = Router();
  const answer = (): MappingAnswer => {
    const { document, filePath } = desk.current();
    return { mapping: document, filePath };
  };

  router.get('/mapping', (_req, res) => {
    res.json(answer());
  });

  router.put('/mapping', (req, res) => {
    desk.save(mappingOf(req.body, (path) => path));
    res.json(answer());
  });

  router.post('/mapping/try', (req, res) => {
    const input = parseBody(MappingTryInputSchema, req.body);
    const payload = payloadOf(input);
    const { mapping } = mappingOf(input.mapping, (path) => (path === 'mapping' ? path : `mapping.${path}`));
    res.json(desk.try({ topic: input.topic, payload }, mapping));
  });

  router.get('/found', (_req, res) => {
    res.json(desk.found());
  });

  router.delete('/found', (req, res) => {
    const { topic } = parseBody(ForgetTopicSchema, req.body);
    if (!desk.forget(topic)) throw notFound('topic');
    res.status(204).end();
  });

  return router;
}
