/** Text that is HTML already. */
export interface Markup {
  readonly markup: string;
}

type Piece = Markup | string | number | null | false | readonly Piece[];

/** HTML from a template: what is put in is text and is escaped, unless it is markup itself. */
export const html = (strings: TemplateStringsArray, ...pieces: readonly Piece[]): Markup => ({
  markup: strings.map((text, i) => text + (i < pieces.length ? markupOf(pieces[i]!) : '')).join(''),
});

const escapes: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

function markupOf(piece: Piece): string {
  if (piece === null || piece === false) return '';
  if (typeof piece === 'string' || typeof piece === 'number')
    return String(piece).replace(/[&<>"']/g, (character) => escapes[character]!);
  return 'markup' in piece ? piece.markup : piece.map(markupOf).join('');
}
