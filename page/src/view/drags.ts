// What a hand on the picture means in the plan's own numbers. A handle moves along a curve in space that one number of the plan
// runs along; the place of the pointer is the number whose point of the curve is seen nearest to it.
import type { Vec3 } from '../core/messages'
import { project, type Eye, type Frame } from './camera'
import { add, apart, cross, dot, mix, times, unit } from './vec'
import { rounded, type Grain } from './grain'

export interface Course {
  readonly at: (value: number) => Vec3
  readonly low: number
  readonly high: number
  readonly grain: Grain
}

const TRIES = 48

// The number whose point is seen nearest to a place of the picture, not yet rounded.
export function valueUnder(course: Course, eye: Eye, frame: Frame, x: number, y: number): number {
  const far = (value: number): number => {
    const p = project(eye, frame, course.at(value))
    return (p.x - x) ** 2 + (p.y - y) ** 2
  }
  const { low, high } = course
  let best = low, least = Infinity
  for (let i = 0; i <= TRIES; i++) {
    const value = low + ((high - low) * i) / TRIES
    const d = far(value)
    if (d < least) {
      least = d
      best = value
    }
  }
  // Golden section between its neighbours.
  const g = (Math.sqrt(5) - 1) / 2
  let a = Math.max(low, best - (high - low) / TRIES), b = Math.min(high, best + (high - low) / TRIES)
  for (let i = 0; i < 30; i++) {
    const c = b - g * (b - a), d = a + g * (b - a)
    if (far(c) < far(d)) b = d
    else a = c
  }
  return (a + b) / 2
}

export const held = (value: number, course: Course, fine: boolean): number =>
  Math.min(course.high, Math.max(course.low, rounded(Math.min(course.high, Math.max(course.low, value)), course.grain, fine)))

// One press of a key: the next round number up or down.
export function stepped(value: number, way: 1 | -1, course: Course, fine: boolean): number {
  const by = fine ? course.grain.fine : course.grain.coarse
  const at = value / by
  const next = (way > 0 ? Math.floor(at + 1e-6) + 1 : Math.ceil(at - 1e-6) - 1) * by
  return Math.min(course.high, Math.max(course.low, Math.round(next * 1e6) / 1e6))
}

// ---- curves ----

// Directions from which an elevation is counted: lying, and straight out. From a held direction and its angle, so that they are
// the core's own; where it is held straight out, lying is down along the scalp.
export function spokes(direction: Vec3, normal: Vec3, elevation: number, plumb: boolean): { readonly zero: Vec3; readonly out: Vec3 } {
  const c = Math.cos(elevation), s = Math.sin(elevation)
  if (plumb) {
    const level: Vec3 = [direction[0], 0, direction[2]]
    const side = Math.hypot(...level) > 0.05 ? unit(level) : unit([normal[0], 0, normal[2]])
    return { zero: [0, -1, 0], out: side }
  }
  const lies = Math.abs(c) > 0.15 ? times(add(direction, times(normal, -s)), 1 / c) : ([0, -1, 0] as Vec3)
  const flat = add(lies, times(normal, -dot(lies, normal)))
  return { zero: unit(Math.hypot(...flat) > 1e-3 ? flat : cross(normal, [1, 0, 0])), out: normal }
}

export const spoke = (zero: Vec3, out: Vec3, angle: number): Vec3 => add(times(zero, Math.cos(angle)), times(out, Math.sin(angle)))

export function arc(middle: Vec3, zero: Vec3, out: Vec3, from: number, to: number, radius: number, pieces = 40): Vec3[] {
  return Array.from({ length: pieces + 1 }, (_, i) => add(middle, times(spoke(zero, out, from + ((to - from) * i) / pieces), radius)))
}

// Along a line of points: 0 the first, 1 the second …
export function alongPoints(points: readonly Vec3[], value: number): Vec3 {
  const last = points.length - 1
  const i = Math.max(0, Math.min(last - 1, Math.floor(value)))
  const a = points[i] as Vec3
  const b = points[Math.min(last, i + 1)] as Vec3
  return mix(a, b, Math.max(0, Math.min(1, value - i)))
}

// ---- places ----

export interface NamedPlace {
  readonly name: string
  readonly at: Vec3
}

export type PlaceValue = string | { readonly from: string; readonly to: string; readonly at: number }

const ON = 0.012 // metres within which a landmark is meant

// The place of the plan that a point of the scalp is: a landmark, or so far from one to another. Where the place was on a way
// already it stays on that way; otherwise it leaves its landmark toward the one that lies most in the direction of the point.
export function placeAt(p: Vec3, was: PlaceValue, landmarks: readonly NamedPlace[], fine: boolean): PlaceValue {
  const find = (name: string) => landmarks.find((l) => l.name === name)
  const nearest = landmarks.reduce<NamedPlace | null>((best, l) => (!best || apart(l.at, p) < apart(best.at, p) ? l : best), null)
  if (!nearest || apart(nearest.at, p) < (fine ? ON / 3 : ON)) return nearest?.name ?? was
  const from = find(typeof was === 'string' ? was : was.from)
  if (!from) return nearest.name
  const toward = unit([p[0] - from.at[0], p[1] - from.at[1], p[2] - from.at[2]])
  const far = apart(p, from.at)
  const ahead = landmarks
    .filter((l) => l !== from && apart(l.at, from.at) > 0.8 * far)
    .map((l) => ({ l, turn: dot(unit([l.at[0] - from.at[0], l.at[1] - from.at[1], l.at[2] - from.at[2]]), toward) - 0.6 * apart(l.at, p) }))
    .sort((a, b) => b.turn - a.turn)[0]
  const to = typeof was === 'string' ? ahead?.l : find(was.to)
  if (!to) return nearest.name
  const way = [to.at[0] - from.at[0], to.at[1] - from.at[1], to.at[2] - from.at[2]] as const
  const share = dot([p[0] - from.at[0], p[1] - from.at[1], p[2] - from.at[2]], way) / Math.max(1e-9, dot(way, way))
  const at = rounded(share, { coarse: 0.125, fine: 0.05 }, fine)
  if (at <= 0) return from.name
  if (at >= 1) return to.name
  return { from: from.name, to: to.name, at }
}
