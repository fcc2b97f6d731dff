// Measures as people read them: centimetres to the millimetre, inches to the eighth.
import { eighths, INCH, type Units } from '../plan/number'

export function lengthText(metres: number | null, units: Units, sign = false): string {
  if (metres === null || !Number.isFinite(metres)) return '–'
  const centimetres = metres * 100
  const figure = units === 'in' ? eighths(centimetres / INCH) : (Math.round(centimetres * 10) / 10 + 0).toFixed(1).replace(/^-0\.0$/, '0.0')
  return `${sign && metres > 0 && !/^0(\.0)?$/.test(figure) ? '+' : ''}${figure.replace('-', '−')} ${units}`
}

export const areaText = (squareMetres: number, units: Units): string =>
  units === 'in' ? `${Math.round((squareMetres * 1e4) / (INCH * INCH))} sq in` : `${Math.round(squareMetres * 1e4)} cm²`

export const countText = (n: number): string => Math.round(n).toLocaleString('en')

// The least difference that is worth telling, as on the sheet: 4 mm, or 6 % of the length.
export const telling = (length: number): number => Math.max(4e-3, 0.06 * length)
