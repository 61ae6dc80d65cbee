// The screens of the phone page and how one gets from one to another. The address never changes; the browser's own
// back button walks the same way back.
import { useCallback, useEffect, useState } from 'react';
import { z } from 'zod';
import { placeIdSchema, stopIdSchema, thingIdSchema } from '#domain/ids.ts';

const stopId = stopIdSchema;
export const routeSchema = z.discriminatedUnion('at', [
  z.strictObject({ at: z.literal('stops') }),
  z.strictObject({ at: z.literal('stop'), stopId }),
  z.strictObject({ at: z.literal('going-in'), stopId }),
  z.strictObject({ at: z.literal('count'), stopId }),
  z.strictObject({ at: z.literal('compartment'), stopId, placeId: placeIdSchema }),
  z.strictObject({
    at: z.literal('line'),
    stopId,
    thingId: thingIdSchema,
    placeId: placeIdSchema.nullable(),
  }),
  z.strictObject({ at: z.literal('container'), stopId, thingId: thingIdSchema }),
  z.strictObject({ at: z.literal('close'), stopId }),
  z.strictObject({ at: z.literal('closed'), stopId }),
  z.strictObject({ at: z.literal('said'), stopId }),
  z.strictObject({ at: z.literal('lists'), stopId }),
  z.strictObject({ at: z.literal('sheet'), stopId }),
  z.strictObject({ at: z.literal('out') }),
  z.strictObject({ at: z.literal('find'), stopId: stopId.nullable() }),
  z.strictObject({ at: z.literal('thing'), thingId: thingIdSchema, stopId: stopId.nullable() }),
  z.strictObject({ at: z.literal('settings') }),
  z.strictObject({ at: z.literal('drawer') }),
  z.strictObject({ at: z.literal('label-walk'), placeId: placeIdSchema.nullable() }),
]);
export type Route = z.infer<typeof routeSchema>;
export type RouteAt<A extends Route['at']> = Extract<Route, { at: A }>;

const stepSchema = z.strictObject({ route: routeSchema, depth: z.int() });
type Step = z.infer<typeof stepSchema>;

export interface Router {
  readonly route: Route;
  readonly go: (route: Route) => void;
  /** Takes the place of this screen, so that "back" does not come here again. */
  readonly replace: (route: Route) => void;
  readonly back: () => void;
}

/** `first` is where the page opens; `onStep` is told each screen that is gone to. */
export function useRouter(first: Route, onStep: (route: Route) => void): Router {
  const [step, setStep] = useState<Step>({ route: first, depth: 0 });
  useEffect(() => {
    history.replaceState({ route: first, depth: 0 }, '');
    const onPop = (event: PopStateEvent) => {
      const parsed = stepSchema.safeParse(event.state);
      setStep(parsed.success ? parsed.data : { route: { at: 'stops' }, depth: 0 });
      scrollTo(0, 0);
    };
    addEventListener('popstate', onPop);
    return () => removeEventListener('popstate', onPop);
  }, [first]);
  const show = useCallback(
    (next: Step) => {
      setStep(next);
      onStep(next.route);
      scrollTo(0, 0);
    },
    [onStep],
  );
  const go = (route: Route) => {
    const next = { route, depth: step.depth + 1 };
    history.pushState(next, '');
    show(next);
  };
  const replace = (route: Route) => {
    const next = { route, depth: step.depth };
    history.replaceState(next, '');
    show(next);
  };
  const back = () => (step.depth > 0 ? history.back() : replace({ at: 'stops' }));
  return { route: step.route, go, replace, back };
}
