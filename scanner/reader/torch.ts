// The light of the phone, where the camera says that it has one.

export type TorchState = 'none' | 'off' | 'on';

/** Older browsers cannot say what a track is able to do. */
export function hasTorch(track: MediaStreamTrack): boolean {
  if (typeof track.getCapabilities !== 'function') return false;
  const abilities = track.getCapabilities();
  return 'torch' in abilities && abilities.torch === true;
}

/** Switches the light. False where the phone would not. */
export async function switchTorch(track: MediaStreamTrack, on: boolean): Promise<boolean> {
  const wish: MediaTrackConstraintSet & { readonly torch: boolean } = { torch: on };
  try {
    await track.applyConstraints({ advanced: [wish] });
    return true;
  } catch {
    return false;
  }
}
