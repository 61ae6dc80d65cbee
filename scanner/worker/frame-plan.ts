// Which part of which frame is looked at, and how: the middle, in turn as it is and evened out, and now and then the whole.

export interface Region {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface FramePlan {
  readonly region: Region;
  readonly treatment: 'raw' | 'normalised';
}

const CROP_WIDTH = 0.8;
const CROP_HEIGHT = 0.6;
const WHOLE_EVERY = 5;

/** The part of the frame that a video box shows when it is filled and cut ("object-fit: cover"), in frame pixels. */
export function shownRegion(
  frame: { width: number; height: number },
  box: { width: number; height: number },
): Region {
  if (box.width <= 0 || box.height <= 0) return { x: 0, y: 0, ...frame };
  const scale = Math.min(frame.width / box.width, frame.height / box.height);
  const width = Math.min(frame.width, Math.round(box.width * scale));
  const height = Math.min(frame.height, Math.round(box.height * scale));
  return { x: (frame.width - width) >> 1, y: (frame.height - height) >> 1, width, height };
}

/** What to decode of frame `number` (0, 1, 2 …): every fifth whole, odd ones raw, even ones normalised. */
export function planFrame(
  number: number,
  frame: { width: number; height: number },
  shown: Region,
): FramePlan {
  const treatment = number % 2 === 1 ? 'raw' : 'normalised';
  if (number % WHOLE_EVERY === WHOLE_EVERY - 1) return { region: { x: 0, y: 0, ...frame }, treatment };
  const width = Math.round(shown.width * CROP_WIDTH);
  const height = Math.round(shown.height * CROP_HEIGHT);
  const x = shown.x + ((shown.width - width) >> 1);
  const y = shown.y + ((shown.height - height) >> 1);
  return { region: { x, y, width, height }, treatment };
}
