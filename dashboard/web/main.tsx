import { render } from 'preact';

render(<main>dashpot-bench</main>, document.getElementById('app')!);
