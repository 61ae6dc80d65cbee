// There is one camera, whoever asks for it: starts and stops of all readers of this page run one after the other.

// The one piece of state that the page shares, as the camera itself is shared.
let last: Promise<unknown> = Promise.resolve();

/** Runs `task` when everything before it has ended, also when that failed. */
export function inTurn<T>(task: () => Promise<T>): Promise<T> {
  const turn = last.then(task, task);
  last = turn.catch(() => {});
  return turn;
}
