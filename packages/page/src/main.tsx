import { render } from 'preact';
import { App } from './app.tsx';
import './style/page.css';

const place = document.getElementById('page');
if (place !== null) render(<App />, place);
