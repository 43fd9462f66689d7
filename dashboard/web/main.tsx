import { render } from 'preact';
import { App } from './app.js';
import { followServer } from './live.js';
import { refreshLogbook } from './logbook.js';
import './styles/tokens.css';
import './styles/frame.css';
import './styles/pieces.css';
import './styles/forms.css';
import './styles/together.css';
import './styles/view-options.css';
import './styles/bench.css';
import './styles/builds.css';
import './styles/next.css';
import './styles/print.css';

void refreshLogbook();
followServer();
render(<App />, document.getElementById('app')!);
