// Opens the phone page.
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import '../web/look/tokens.css';
import '../web/look/base.css';

const scan = document.getElementById('scan');
if (scan) {
  createRoot(scan).render(
    <StrictMode>
      <h1 className="tape">Tailcount</h1>
    </StrictMode>,
  );
}
