// A route as data: from it come the address, the parsing of what is asked, the answer, and the OpenAPI document.
import type { Request, Response } from 'express';
import type { Logger } from 'pino';
import { z } from 'zod';
import type { Connections } from '../database/connections.ts';
import type { FieldProblem, Refusal } from './problem.ts';

export interface Deps {
  readonly connections: Connections;
  /** UTC milliseconds. */
  readonly clock: () => number;
  readonly log: Logger;
  readonly databaseState: () => 'up' | 'down';
  /** Every answer is held against its schema: on in tests, where a mistake shall show. */
  readonly checkAnswers?: boolean;
}

export type Answer =
  | { readonly status: number; readonly body: unknown; readonly headers?: Readonly<Record<string, string>> }
  | {
      readonly status: number;
      readonly bytes: Uint8Array | string;
      readonly type: string;
      readonly headers?: Readonly<Record<string, string>>;
    }
  | { readonly stream: (req: Request, res: Response) => Promise<void> }
  | { readonly refusal: Refusal };

export interface Given<P, Q, B> {
  readonly params: P;
  readonly query: Q;
  readonly body: B;
  /** The version in If-Match; a number on a route that `edits`, else 0 when none was sent. */
  readonly ifMatch: number;
}

export type Method = 'get' | 'post' | 'put' | 'patch' | 'delete';

interface RouteFacts {
  readonly method: Method;
  /** As OpenAPI writes it: /api/things/{thingId}. */
  readonly path: string;
  readonly summary: string;
  readonly tag: string;
  /** Needs If-Match with the version that was edited. */
  readonly edits?: boolean;
  /** The body is taken as it comes, up to this many bytes: pictures and lists. */
  readonly bytesMax?: number;
  /** What a 200 comes as where it is no JSON: its media types. */
  readonly media?: readonly string[];
  readonly answers: Readonly<Record<number, z.ZodType>>;
  readonly refusals?: readonly Refusal['kind'][];
}

/** What came over the wire, not yet parsed. */
export interface Asked {
  readonly params: unknown;
  readonly query: unknown;
  readonly body: unknown;
  readonly ifMatch: number;
}

export interface Route extends RouteFacts {
  readonly params: z.ZodType;
  readonly query: z.ZodType;
  readonly body: z.ZodType | undefined;
  readonly answer: (asked: Asked, deps: Deps) => Promise<Answer>;
}

export interface RouteSpec<P extends z.ZodType, Q extends z.ZodType, B extends z.ZodType> extends RouteFacts {
  readonly params?: P;
  readonly query?: Q;
  readonly body?: B;
  readonly handle: (given: Given<z.infer<P>, z.infer<Q>, z.infer<B>>, deps: Deps) => Promise<Answer>;
}

const nothing = z.strictObject({});
type Nothing = typeof nothing;

/** The schema of a raw body (with `bytesMax`). */
export const bytesSchema = z.instanceof(Uint8Array);

function pointerOf(where: string, path: readonly PropertyKey[]): string {
  return [where, ...path.map((step) => String(step).replaceAll('~', '~0').replaceAll('/', '~1'))].join('/');
}

/** What zod found, as pointers into the request; where it is not the body, the part is named first. */
export function faultsOf(where: string, error: z.ZodError): readonly FieldProblem[] {
  return error.issues.flatMap((issue) => {
    if (issue.code === 'unrecognized_keys') {
      return issue.keys.map((key) => ({
        pointer: pointerOf(where, [...issue.path, key]),
        detail: 'is not known here; leave it out',
      }));
    }
    return [{ pointer: pointerOf(where, issue.path), detail: issue.message }];
  });
}

/**
 * Makes a route whose handler gets what was asked, already parsed. Everything that does not parse is one refusal
 * with all fields at fault; unknown fields are refused by strict schemas.
 */
export function defineRoute<
  P extends z.ZodType = Nothing,
  Q extends z.ZodType = Nothing,
  B extends z.ZodType = z.ZodUndefined,
>(spec: RouteSpec<P, Q, B>): Route {
  const { handle, params = nothing, query = nothing, body, ...facts } = spec;
  const bodySchema = body ?? z.undefined();
  const answer = async (asked: Asked, deps: Deps): Promise<Answer> => {
    const parts = [
      params.safeParse(asked.params),
      query.safeParse(asked.query),
      bodySchema.safeParse(asked.body),
    ] as const;
    const [path, search, content] = parts;
    if (!path.success || !search.success || !content.success) {
      const fields = [
        ...(path.success ? [] : faultsOf('path:', path.error)),
        ...(search.success ? [] : faultsOf('query:', search.error)),
        ...(content.success ? [] : faultsOf('', content.error)),
      ];
      return { refusal: { kind: 'invalid-request', fields } };
    }
    // The schemas' own types, which TypeScript cannot follow through the defaults above.
    const given = { params: path.data, query: search.data, body: content.data, ifMatch: asked.ifMatch };
    return handle(given as Given<z.infer<P>, z.infer<Q>, z.infer<B>>, deps);
  };
  return { ...facts, params, query, body, answer };
}
