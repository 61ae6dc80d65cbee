// Opens the phone page.
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import '../web/look/look.css';
import { readTheme, showTheme } from '../web/look/theme.ts';

showTheme(readTheme());
const scan = document.getElementById('scan');
if (scan) {
  createRoot(scan).render(
    <StrictMode>
      <h1 className="tape">Tailcount</h1>
    </StrictMode>,
  );
}
