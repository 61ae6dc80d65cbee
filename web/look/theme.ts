// The theme follows the device until the person chooses one; the choice is kept on this device.
export type Theme = 'as-device' | 'light' | 'dark';

const KEY = 'tailcount-theme';
const CHOSEN = 'tailcount-theme-chosen';

/** The kept choice. A browser that keeps nothing follows the device. */
export function readTheme(): Theme {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === 'light' || kept === 'dark' ? kept : 'as-device';
  } catch {
    return 'as-device';
  }
}

/** The theme in which the page is shown now. */
export function shownTheme(): Theme {
  const shown = document.documentElement.dataset.theme;
  return shown === 'light' || shown === 'dark' ? shown : 'as-device';
}

/** Shows the page in this theme, now. */
export function showTheme(theme: Theme): void {
  if (theme === 'as-device') delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = theme;
  document.dispatchEvent(new Event(CHOSEN));
}

/** Tells the listener whenever another theme is shown; the way to stop. */
export function onThemeShown(listener: () => void): () => void {
  document.addEventListener(CHOSEN, listener);
  return () => document.removeEventListener(CHOSEN, listener);
}

/** Shows and keeps the choice. Where nothing can be kept it holds for this visit. */
export function chooseTheme(theme: Theme): void {
  showTheme(theme);
  try {
    localStorage.setItem(KEY, theme);
  } catch {
    // A private window without storage: the choice holds until it is closed.
  }
}
