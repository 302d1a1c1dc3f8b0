import { render } from 'preact';
import { App } from './app.tsx';
import { keepPage } from './link/keep-page.ts';
import './style/page.css';

const place = document.getElementById('page');
if (place !== null) render(<App />, place);
// Behind the first screen, which must not wait for it.
addEventListener('load', keepPage);
