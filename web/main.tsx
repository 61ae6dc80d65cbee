// Opens the desk in its page.
import './quiet-zod.ts';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import './look/look.css';
import './desk.css';
import { DeskApp } from './app.tsx';
import { readTheme, showTheme } from './look/theme.ts';

showTheme(readTheme());
const desk = document.getElementById('desk');
if (desk) {
  createRoot(desk).render(
    <StrictMode>
      <DeskApp />
    </StrictMode>,
  );
}
