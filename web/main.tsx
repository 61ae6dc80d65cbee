// Opens the desk in its page.
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import './look/tokens.css';
import './look/base.css';
import './look/print.css';

const desk = document.getElementById('desk');
if (desk) {
  createRoot(desk).render(
    <StrictMode>
      <h1 className="tape">Tailcount</h1>
    </StrictMode>,
  );
}
