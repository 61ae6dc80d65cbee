// What kind of picture some bytes are, by how they begin; what a sender calls them is not asked.

export type PictureMime = 'image/jpeg' | 'image/png' | 'image/webp';

const JPEG = [0xff, 0xd8, 0xff];
const PNG = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
const RIFF = [0x52, 0x49, 0x46, 0x46];
const WEBP = [0x57, 0x45, 0x42, 0x50];
/** In a RIFF file the four letters of its form stand behind "RIFF" and four bytes of length. */
const WEBP_FORM_AT = 8;

function hasAt(bytes: Uint8Array, at: number, magic: readonly number[]): boolean {
  return magic.every((byte, index) => bytes[at + index] === byte);
}

/**
 * The media type of a picture, or null where the bytes are none of the three kinds kept here.
 * Source: JPEG ITU-T T.81 annex B (SOI and the next marker); PNG W3C 5.2; WebP RFC 9649 2.4 (RIFF header).
 */
export function pictureMimeOf(bytes: Uint8Array): PictureMime | null {
  if (hasAt(bytes, 0, JPEG)) return 'image/jpeg';
  if (hasAt(bytes, 0, PNG)) return 'image/png';
  if (hasAt(bytes, 0, RIFF) && hasAt(bytes, WEBP_FORM_AT, WEBP)) return 'image/webp';
  return null;
}
