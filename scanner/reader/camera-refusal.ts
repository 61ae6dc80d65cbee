// Why there is no camera, as a value with a sentence that says what to do.

export interface CameraRefusal {
  readonly kind: 'not-secure' | 'refused' | 'no-camera' | 'busy' | 'taken' | 'failed';
  readonly sentence: string;
}

const SENTENCES = {
  'not-secure':
    'A browser gives the camera only to a secure page. Open the address that begins with https, or type the code here.',
  refused:
    'The camera is not allowed for this page. Allow it in the browser’s settings for this address, then try again. Typing a code and tapping a line work without it.',
  'no-camera': 'There is no camera that this page can use. Type the code, use a reader, or choose a picture.',
  busy: 'Another program has the camera. Close that one, then try again.',
  taken: 'The device took the camera away. Try again, or type the code.',
  failed: 'The camera did not start. Try again; if it stays like this, type the code or choose a picture.',
} as const satisfies Record<CameraRefusal['kind'], string>;

export function refuseCamera(kind: CameraRefusal['kind']): CameraRefusal {
  return { kind, sentence: SENTENCES[kind] };
}

// Names of DOMException that getUserMedia rejects with. Source: W3C Media Capture and Streams, section 10.2.
const KINDS: Readonly<Record<string, CameraRefusal['kind']>> = {
  NotAllowedError: 'refused',
  SecurityError: 'refused',
  NotFoundError: 'no-camera',
  OverconstrainedError: 'no-camera',
  NotReadableError: 'busy',
  AbortError: 'busy',
};

/**
 * The refusal that an error of getUserMedia means, also where a library has only kept its text ("… error =
 * NotAllowedError: …"). Anything unheard-of is "failed".
 */
export function refusalOf(error: unknown): CameraRefusal {
  const name = error instanceof Error ? error.name : (/\b[A-Z]\w+Error\b/.exec(String(error))?.[0] ?? '');
  return refuseCamera(KINDS[name] ?? 'failed');
}
