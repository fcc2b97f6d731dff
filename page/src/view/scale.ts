// The scale of the length map. Its ends are round numbers, and they stay while a hand drags: a scale that jumps would tell of
// changes that are none.
import { inMetres, inUnit, type Units } from '../plan/number'

export interface Scale {
  readonly low: number // metres
  readonly high: number
  readonly step: number // metres from mark to mark
}

const STEPS: Readonly<Record<Units, readonly number[]>> = { cm: [0.5, 1, 2, 5, 10, 20, 50], in: [0.25, 0.5, 1, 2, 4, 8, 16] }

export function scaleFor(lengths: ArrayLike<number>, units: Units): Scale {
  let low = Infinity, high = -Infinity
  for (let i = 0; i < lengths.length; i++) {
    const at = lengths[i] ?? NaN
    if (at < low) low = at
    if (at > high) high = at
  }
  if (!(high >= low)) return { low: 0, high: inMetres(10, units), step: inMetres(2, units) }
  const a = inUnit(low, units), b = inUnit(high, units)
  const step = STEPS[units].find((by) => Math.ceil(b / by) - Math.floor(a / by) <= 6) ?? 100
  const first = Math.floor(a / step + 1e-6) * step
  const last = Math.max(first + step, Math.ceil(b / step - 1e-6) * step)
  return { low: inMetres(first, units), high: inMetres(last, units), step: inMetres(step, units) }
}

// While a hand drags: the scale as it was, longer where lengths no longer fit on it.
export function stretched(was: Scale, lengths: ArrayLike<number>, units: Units): Scale {
  const now = scaleFor(lengths, units)
  if (now.low >= was.low - 1e-9 && now.high <= was.high + 1e-9) return was
  const low = Math.min(was.low, now.low), high = Math.max(was.high, now.high)
  const step = STEPS[units].map((by) => inMetres(by, units)).find((by) => Math.ceil((high - low) / by - 1e-6) <= 8) ?? was.step
  return { low: Math.floor(low / step + 1e-6) * step, high: Math.ceil(high / step - 1e-6) * step, step }
}

export function marks(scale: Scale): number[] {
  const count = Math.round((scale.high - scale.low) / scale.step)
  return Array.from({ length: count + 1 }, (_, i) => scale.low + i * scale.step)
}
