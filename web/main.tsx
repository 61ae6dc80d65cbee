// Opens the desk in its page.
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import './look/look.css';
import { readTheme, showTheme } from './look/theme.ts';

showTheme(readTheme());
const desk = document.getElementById('desk');
if (desk) {
  createRoot(desk).render(
    <StrictMode>
      <h1 className="tape">Tailcount</h1>
    </StrictMode>,
  );
}
