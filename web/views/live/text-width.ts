/** Mean width of a letter of the face, em: used where there is no canvas to measure with. */
const LETTER_EM = 0.53;
const MEASURED_PX = 100;

let canvas: CanvasRenderingContext2D | null | undefined;

/** Width of a text in the face of the screen, em. */
export function textEm(text: string, weight: 500 | 600): number {
  canvas ??= typeof document === 'undefined' ? null : document.createElement('canvas').getContext('2d');
  if (canvas === null) return text.length * LETTER_EM;
  canvas.font = `${weight} ${MEASURED_PX}px 'Fira Sans', sans-serif`;
  return canvas.measureText(text).width / MEASURED_PX;
}
