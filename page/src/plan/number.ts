// Numbers as hairdressers write them: 45, 11.5, 11,5, 4 3/8, 1/2, with or without the unit after it; and as the plan keeps them.
import type { Value } from '../state/plan'
import type { NumberShape, Unit } from './table'

export type Units = 'cm' | 'in'
export const INCH = 2.54

// The core's metres in the plan's unit, and back.
export const inUnit = (metres: number, units: Units): number => (metres * 100) / (units === 'in' ? INCH : 1)
export const inMetres = (value: number, units: Units): number => (value * (units === 'in' ? INCH : 1)) / 100

export type Read = { readonly value: number } | { readonly fault: 'empty' | 'no number' | 'unit' | 'low' | 'high' | 'whole' }

const UNIT_WORDS: Readonly<Record<string, number>> = {
  cm: 1,
  centimetre: 1,
  centimetres: 1,
  centimeter: 1,
  centimeters: 1,
  mm: 0.1,
  in: INCH,
  inch: INCH,
  inches: INCH,
  '"': INCH,
  '″': INCH,
  '”': INCH,
}
const DEGREE_WORDS = new Set(['°', 'deg', 'degree', 'degrees'])
const PARTS: Readonly<Record<string, string>> = { '½': ' 1/2', '¼': ' 1/4', '¾': ' 3/4', '⅛': ' 1/8', '⅜': ' 3/8', '⅝': ' 5/8', '⅞': ' 7/8' }

// A figure alone, without its unit.
function figure(text: string): number {
  const match = /^([-−])?(?:(\d+)(?:[.,](\d+))?|[.,](\d+))?(?:(?:^|\s|(?<=[-−]))\s*(\d+)\s*\/\s*(\d+))?$/.exec(text)
  if (!match || text === '' || text === '-' || text === '−') return NaN
  const [, sign, whole, decimals, bare, over, under] = match
  if (over !== undefined && (decimals !== undefined || bare !== undefined || Number(under) === 0)) return NaN
  const value = Number(`${whole ?? 0}.${decimals ?? bare ?? 0}`) + (over === undefined ? 0 : Number(over) / Number(under))
  return sign ? -value : value
}

// What a range is in the plan's unit.
export const inUnits = (value: number, unit: Unit | undefined, units: Units): number =>
  unit === 'length' && units === 'in' ? value / INCH : value

// A typed text as a number in the plan's unit.
export function readNumber(typed: string, shape: NumberShape, units: Units): Read {
  const spelt = [...typed].map((c) => PARTS[c] ?? c).join('')
  const text = spelt.trim().toLowerCase()
  if (text === '') return { fault: 'empty' }
  const at = text.search(/[^\d\s.,/\-−]/)
  const number = figure((at < 0 ? text : text.slice(0, at)).trim())
  const unit = at < 0 ? '' : text.slice(at).trim().replace(/\.$/, '')
  if (Number.isNaN(number)) return { fault: 'no number' }
  let value = number
  if (unit !== '') {
    const centimetres = UNIT_WORDS[unit]
    if (shape.unit === 'length' && centimetres !== undefined) value = (number * centimetres) / (units === 'in' ? INCH : 1)
    else if (unit === '%' && shape.unit === undefined) value = number / 100
    else if (!(shape.unit === 'degrees' && DEGREE_WORDS.has(unit))) return { fault: 'unit' }
  }
  if (shape.kind === 'whole' && !Number.isInteger(value)) return { fault: 'whole' }
  const slack = 1e-9
  if (value < inUnits(shape.low, shape.unit, units) - slack) return { fault: 'low' }
  if (value > inUnits(shape.high, shape.unit, units) + slack) return { fault: 'high' }
  return { value: rounded(value) }
}

const rounded = (value: number): number => Number(value.toFixed(6))

// What a plan says, as a number in its unit: fractions and words for shares too.
export function numberOf(value: Value | undefined): number {
  if (typeof value === 'number') return value
  if (typeof value !== 'string') return NaN
  if (value === 'own') return 0
  if (value === 'half') return 0.5
  if (value === 'whole') return 1
  return figure(value)
}

const NAMES = ['', '1/8', '1/4', '3/8', '1/2', '5/8', '3/4', '7/8']

export function eighths(value: number): string {
  const all = Math.round(Math.abs(value) * 8)
  const sign = value < 0 && all > 0 ? '-' : ''
  const whole = Math.floor(all / 8)
  const part = NAMES[all % 8] as string
  return sign + (part && whole ? `${whole} ${part}` : part || String(whole))
}

const onEighth = (value: number): boolean => Math.abs(value * 8 - Math.round(value * 8)) < 1e-6

// A number as it is written in the field, without its unit.
export function figureOf(value: number, unit: Unit | undefined, units: Units): string {
  if (unit === 'length' && units === 'in' && onEighth(value)) return eighths(value)
  return String(rounded(value))
}

// A number as the plan keeps it: inches that are eighths as people write them.
export function kept(value: number, shape: NumberShape, units: Units): Value {
  return shape.unit === 'length' && shape.fraction ? keptLength(value, units) : rounded(value)
}

export function keptLength(value: number, units: Units): number | string {
  const even = rounded(value)
  return units === 'in' && even > 0 && !Number.isInteger(even) && onEighth(even) ? eighths(even) : even
}

export function unitAfter(unit: Unit | undefined, units: Units): string {
  if (unit === 'length') return units
  return unit === 'degrees' ? '°' : unit === 'GPa' ? 'GPa' : unit === 'um2' ? 'µm²' : unit === 'per_cm2' ? 'per cm²' : ''
}

// The size of one press of + or −; fine: with Shift.
export function pace(value: number, shape: NumberShape, units: Units, fine: boolean): number {
  if (shape.kind === 'whole') return 1
  if (shape.unit === 'degrees') return fine ? 1 : 5
  if (shape.unit === 'length') {
    if (units === 'in') return fine || inUnits(shape.high, 'length', 'in') <= 4 ? 0.125 : 0.25
    return fine || Math.abs(value) < 1 ? 0.1 : 0.5
  }
  if (shape.unit === 'um2') return fine ? 50 : 250
  if (shape.unit === 'per_cm2') return fine ? 1 : 10
  if (shape.high <= 1) return fine ? 0.01 : 0.05
  return fine ? 0.05 : 0.25
}

// The next number up (+1) or down (-1): even ones first, then on by the pace.
export function stepped(value: number, way: 1 | -1, shape: NumberShape, units: Units, fine = false): number {
  const by = pace(way < 0 && Math.abs(value - 1) < 1e-9 ? value - 1e-9 : value, shape, units, fine)
  const at = value / by
  const next = way > 0 ? Math.floor(at + 1e-6) + 1 : Math.ceil(at - 1e-6) - 1
  const low = inUnits(shape.low, shape.unit, units)
  const high = inUnits(shape.high, shape.unit, units)
  return rounded(Math.min(high, Math.max(low, next * by)))
}
