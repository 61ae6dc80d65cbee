// The theme follows the device until the person chooses one; the choice is kept on this device.
export type Theme = 'as-device' | 'light' | 'dark';

const KEY = 'tailcount-theme';

/** The kept choice. A browser that keeps nothing follows the device. */
export function readTheme(): Theme {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === 'light' || kept === 'dark' ? kept : 'as-device';
  } catch {
    return 'as-device';
  }
}

/** Shows the page in this theme, now. */
export function showTheme(theme: Theme): void {
  if (theme === 'as-device') delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = theme;
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
