// Readers that behave like a keyboard: a burst of keys faster than anybody types, ended by Enter or Tab. What is typed
// into a field stays typing, and so does every slow key.

// Bluetooth readers leave up to some 50 ms between keys; a fast typist takes over 80 (common practice, no source).
const GAP_MS_MAX = 80;
const LENGTH_MIN = 3;
const LENGTH_MAX = 200;
const FIELDS = 'input, textarea, select, [contenteditable]:not([contenteditable="false"])';

function isInField({ target }: KeyboardEvent): boolean {
  return target instanceof Element && target.closest(FIELDS) !== null;
}

/** Listens until the function given back is called. `onText` gets the burst as it came, without its Enter or Tab. */
export function listenToKeyboardReader(onText: (text: string) => void): () => void {
  let burst = '';
  let lastMs = Number.NEGATIVE_INFINITY;
  const onKey = (event: KeyboardEvent): void => {
    if (isInField(event) || event.isComposing) {
      burst = '';
      return;
    }
    const fast = event.timeStamp - lastMs <= GAP_MS_MAX;
    if (event.key === 'Enter' || event.key === 'Tab') {
      const text = fast && burst.length >= LENGTH_MIN ? burst : null;
      burst = '';
      if (text === null) return;
      // The key that ends a scan must not press the button that happens to have the focus.
      event.preventDefault();
      event.stopPropagation();
      onText(text);
      return;
    }
    if (event.key.length !== 1 || event.ctrlKey || event.metaKey || event.altKey) return;
    lastMs = event.timeStamp;
    const goesOn = fast && burst !== '';
    burst = (goesOn ? burst + event.key : event.key).slice(-LENGTH_MAX);
    // From its second key on it is a burst, and means neither a shortcut nor a press of the space bar.
    if (!goesOn) return;
    event.preventDefault();
    event.stopPropagation();
  };
  window.addEventListener('keydown', onKey, { capture: true });
  return () => window.removeEventListener('keydown', onKey, { capture: true });
}
