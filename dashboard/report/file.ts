import type { ReportFacts } from './facts.js';
import { html } from './markup.js';
import { headlineOf, sheet } from './sheet.js';
import { reportStyle } from './style.js';

/**
 * The report as a file to send: HTML that needs no script, fetches nothing and says so to the browser, whose policy
 * then refuses anything that a fault might have let in.
 */
export function reportFile(facts: ReportFacts): string {
  const policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light">
<title>${headlineOf(facts)}</title>
<style>${{ markup: reportStyle }}
body { margin: 0; background: #fff; }
</style>
</head>
<body>
<main>
${sheet(facts)}
</main>
</body>
</html>
`.markup;
}
