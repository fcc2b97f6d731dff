// Small signs of our own, drawn with the text's colour. What they mean is always said beside them or in their button's name.
import { svg, type TemplateResult, html } from 'lit-html'

const SIGNS = {
  undo: svg`<path d="M7 5 3 9l4 4M3.5 9H12a4.5 4.5 0 0 1 0 9H8" />`,
  redo: svg`<path d="m13 5 4 4-4 4M16.5 9H8a4.5 4.5 0 0 0 0 9h4" />`,
  help: svg`<path d="M7 7.5a3 3 0 1 1 4.2 2.7C10.3 10.7 10 11.3 10 12.5M10 15.5v.1" />`,
  light: svg`<path d="M10 3a7 7 0 1 0 0 14z" fill="currentColor" /><circle cx="10" cy="10" r="7" />`,
} as const

export const icon = (name: keyof typeof SIGNS): TemplateResult =>
  html`<svg class="icon" viewBox="0 0 20 20" aria-hidden="true" focusable="false">${SIGNS[name]}</svg>`
