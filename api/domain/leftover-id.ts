// The id of what a device put aside because it can never be used.
import { v5 } from 'uuid';

// A namespace of our own, drawn once; changing it would hand every leftover over a second time.
const LEFTOVER_NAMESPACE = '5e0b6a1c-3d52-4c1e-9a0e-8f6d1b7a2c93';

/** Made of the device, its own key and the text (UUIDv5, RFC 9562 5.5), so that handing it over twice is harmless. */
export function leftoverIdOf(deviceId: string, key: string, text: string): string {
  return v5(`${deviceId}/${key}/${text}`, LEFTOVER_NAMESPACE);
}
