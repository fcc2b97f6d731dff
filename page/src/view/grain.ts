// How finely a hand says a number: coarse by itself, fine with Shift.
import type { Units } from '../plan/number'

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
