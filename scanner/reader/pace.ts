// Watches how long decoding takes and says once when the camera's pictures are too large for this phone.

const SAMPLE = 40;
const P95_MS_MAX = 60;

/** A function that takes each duration in ms and answers true once, when the 95th percentile of 40 is over 60 ms. */
export function createPace(): (tookMs: number) => boolean {
  let sample: number[] = [];
  let told = false;
  return (tookMs) => {
    if (told) return false;
    sample.push(tookMs);
    if (sample.length < SAMPLE) return false;
    const p95 = [...sample].sort((one, other) => one - other)[Math.ceil(SAMPLE * 0.95) - 1] ?? 0;
    sample = [];
    told = p95 > P95_MS_MAX;
    return told;
  };
}
