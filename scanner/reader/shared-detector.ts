// Gives html5-qrcode the decoder that the rest of the page uses, with the WebAssembly of our own service: its own one
// read 0 of 24 clean Code 128 labels on dark gear. Loaded only when a picture is chosen or a phone is too old.
import { BarcodeDetector, prepareZXingModule } from 'barcode-detector/ponyfill';
import { Html5Qrcode, Html5QrcodeSupportedFormats } from 'html5-qrcode';
import wasmAddress from 'zxing-wasm/reader/zxing_reader.wasm?url';
import { type CodeSeen, codeSeen, type ScanFormat } from '../worker/scan-format.ts';

const NAMES = {
  QR_CODE: 'QRCode',
  DATA_MATRIX: 'DataMatrix',
  CODE_128: 'Code128',
  EAN_13: 'EAN13',
  EAN_8: 'EAN8',
  UPC_A: 'UPCA',
  ITF: 'ITF',
} as const satisfies Record<string, ScanFormat>;

const WANTED = [
  Html5QrcodeSupportedFormats.QR_CODE,
  Html5QrcodeSupportedFormats.DATA_MATRIX,
  Html5QrcodeSupportedFormats.CODE_128,
  Html5QrcodeSupportedFormats.EAN_13,
  Html5QrcodeSupportedFormats.EAN_8,
  Html5QrcodeSupportedFormats.UPC_A,
  Html5QrcodeSupportedFormats.ITF,
];

/** What html5-qrcode has seen, in our own words; null for a format that was not asked for. */
export function seenFrom(text: string, name: string | undefined): CodeSeen | null {
  const found = Object.entries(NAMES).find(([theirs]) => theirs === name);
  return found ? codeSeen(text, found[1]) : null;
}

/**
 * A new instance in the element of this id. The detector is put in place before construction, because that is when
 * html5-qrcode looks for one; a browser's own is replaced, so that every phone reads alike. A decoder that cannot
 * be fetched is an error here: html5-qrcode would go on with its own and say nothing.
 */
export async function makeHtml5Qrcode(elementId: string): Promise<Html5Qrcode> {
  await prepareZXingModule({
    overrides: {
      locateFile: (path: string, prefix: string) => (path.endsWith('.wasm') ? wasmAddress : prefix + path),
    },
    fireImmediately: true,
  });
  Object.assign(globalThis, { BarcodeDetector });
  return new Html5Qrcode(elementId, {
    formatsToSupport: WANTED,
    useBarCodeDetectorIfSupported: true,
    verbose: false,
  });
}
