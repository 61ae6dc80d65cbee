// Long work in steps: whoever has a screen to keep alive does one step, looks up, and goes on; whoever has not does all of them.

/** Work that can be put aside after each step. Nothing but its end says anything, so it may also be given up. */
export type Steps<T> = Generator<undefined, T, undefined>;

/** Does all steps at once. */
export function allSteps<T>(steps: Steps<T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}
