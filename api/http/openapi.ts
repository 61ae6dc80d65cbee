// The OpenAPI 3.1 document, made from the very schemas that parse requests.
import { z } from 'zod';
import { PROBLEMS, type Refusal } from './problem.ts';
import type { Route } from './route.ts';

type Json = Readonly<Record<string, unknown>>;

function schemaOf(schema: z.ZodType, io: 'input' | 'output'): Json {
  const { $schema: _dialect, ...rest } = z.toJSONSchema(schema, { io, unrepresentable: 'any' });
  return rest;
}

function parametersOf(schema: z.ZodType, where: 'path' | 'query'): Json[] {
  const { properties = {}, required = [] } = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' });
  return Object.entries(properties).map(([name, property]) => ({
    name,
    in: where,
    required: where === 'path' || required.includes(name),
    schema: property,
  }));
}

function bodyOf(route: Route): Json {
  if (route.body === undefined) return {};
  const content =
    route.bytesMax === undefined
      ? { 'application/json': { schema: schemaOf(route.body, 'input') } }
      : {
          'application/octet-stream': {
            schema: { type: 'string', contentMediaType: 'application/octet-stream' },
          },
        };
  return { requestBody: { required: true, content } };
}

function refusalsOf(route: Route): readonly Refusal['kind'][] {
  const always: Refusal['kind'][] = ['invalid-request', 'database-down'];
  if (route.body !== undefined)
    always.push(
      'body-too-large',
      route.bytesMax === undefined ? 'unreadable-body' : 'not-acceptable-request',
    );
  if (route.edits) always.push('if-match-missing', 'version-moved');
  return [...new Set([...always, ...(route.refusals ?? [])])];
}

function answersOf(route: Route): Json {
  const answers: Record<string, Json> = {};
  for (const [status, schema] of Object.entries(route.answers)) {
    answers[status] = {
      description: 'The answer.',
      content: { 'application/json': { schema: schemaOf(schema, 'output') } },
    };
  }
  if (route.media !== undefined) {
    const content = Object.fromEntries(
      route.media.map((type) => [type, { schema: { contentMediaType: type } }]),
    );
    answers['200'] = { description: 'The answer.', content };
  }
  for (const kind of refusalsOf(route)) {
    const { status, title } = PROBLEMS[kind];
    const before = answers[status]?.description;
    answers[status] = {
      description: [before, `${kind}: ${title}`].filter(Boolean).join('\n\n'),
      content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
    };
  }
  return answers;
}

function operationOf(route: Route): Json {
  const ifMatch = {
    name: 'If-Match',
    in: 'header',
    required: true,
    schema: { type: 'string' },
    description: 'The ETag of the version that was edited.',
  };
  return {
    operationId: `${route.method} ${route.path}`,
    summary: route.summary,
    tags: [route.tag],
    parameters: [
      ...parametersOf(route.params, 'path'),
      ...parametersOf(route.query, 'query'),
      ...(route.edits ? [ifMatch] : []),
    ],
    ...bodyOf(route),
    responses: answersOf(route),
  };
}

const problemSchema = {
  type: 'object',
  description: 'RFC 9457 problem details. `errors` points at the fields at fault.',
  required: ['type', 'title', 'status'],
  properties: {
    type: { type: 'string', enum: Object.keys(PROBLEMS).map((kind) => `/problems/${kind}`) },
    title: { type: 'string' },
    status: { type: 'integer' },
    errors: {
      type: 'array',
      items: { type: 'object', properties: { pointer: { type: 'string' }, detail: { type: 'string' } } },
    },
  },
};

/** The whole document. Addresses and tags are in the order of the routes. */
export function openApiOf(routes: readonly Route[]): Json {
  const paths: Record<string, Record<string, Json>> = {};
  for (const route of routes) {
    const path = paths[route.path] ?? {};
    path[route.method] = operationOf(route);
    paths[route.path] = path;
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'Tailcount',
      version: '1',
      description: 'What went out, what came back in, and what is still out there.',
    },
    paths,
    components: { schemas: { Problem: problemSchema } },
  };
}
