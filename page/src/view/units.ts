// Numbers as a hand would say them, in the plan's unit.
export type Units = 'cm' | 'in'

const METRE: Readonly<Record<Units, number>> = { cm: 100, in: 1 / 0.0254 }
const NAMES = ['', '1/8', '1/4', '3/8', '1/2', '5/8', '3/4', '7/8']

export const inUnit = (metres: number, units: Units): number => metres * METRE[units]
export const inMetres = (value: number, units: Units): number => value / METRE[units]

export function figure(value: number, units: Units): string {
  if (units === 'cm') return String(Math.round(value * 10) / 10 + 0)
  const all = Math.round(Math.abs(value) * 8)
  const whole = Math.floor(all / 8)
  const part = NAMES[all % 8] ?? ''
  return (value < 0 && all > 0 ? '−' : '') + (part && whole ? `${whole} ${part}` : part || String(whole))
}

export const said = (metres: number, units: Units): string => `${figure(inUnit(metres, units), units)} ${units}`

// A length as a plan keeps it: whole eighths of an inch as people write them.
export function kept(value: number, units: Units): number | string {
  if (units === 'in' && value > 0 && !Number.isInteger(value) && Number.isInteger(value * 8)) return figure(value, units)
  return Math.round(value * 1e4) / 1e4
}

export interface Grain {
  readonly coarse: number
  readonly fine: number
}
export const DEGREES: Grain = { coarse: 5, fine: 1 }
export const lengthGrain = (units: Units): Grain => (units === 'cm' ? { coarse: 0.5, fine: 0.1 } : { coarse: 0.25, fine: 0.125 })

export const rounded = (value: number, grain: Grain, fine: boolean): number => {
  const by = fine ? grain.fine : grain.coarse
  return Math.round(Math.round(value / by) * by * 1e6) / 1e6
}
