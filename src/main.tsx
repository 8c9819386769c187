import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import './ui/look/tokens.css';
import './ui/look/base.css';
import './ui/look/controls.css';
import './ui/look/shop.css';
import './ui/look/worktable.css';
import './ui/look/drawings.css';
import './ui/look/start.css';
import { App } from './ui/shell/app.tsx';

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
