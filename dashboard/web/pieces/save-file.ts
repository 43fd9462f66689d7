/** Gives a person a file that was made in the browser. */
export function saveFile(name: string, type: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has it as soon as the click was handled.
  setTimeout(() => URL.revokeObjectURL(address));
}
