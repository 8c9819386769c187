import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import './ui/look/tokens.css';
import './ui/look/base.css';
import './ui/look/controls.css';
import './ui/look/shop.css';
import './ui/look/worktable.css';
import './ui/look/drawings.css';
import './ui/look/start.css';
import { placeFromHash } from './ui/address.ts';
import { startAddressBar } from './ui/address-bar.ts';
import { desk } from './ui/desk.ts';
import { startKeeping } from './ui/keeping.ts';
import { App } from './ui/shell/app.tsx';

startKeeping();
if (placeFromHash(location.hash).screen === 'build') desk.setState({ screen: 'opening' });
startAddressBar();

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
