// Opens the phone page.
import './quiet-zod.ts';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import '../web/look/look.css';
import './phone.css';
import { readTheme, showTheme } from '../web/look/theme.ts';
import { App } from './app.tsx';

showTheme(readTheme());
const scan = document.getElementById('scan');
if (scan) {
  createRoot(scan).render(
    <StrictMode>
      <App />
    </StrictMode>,
  );
}
