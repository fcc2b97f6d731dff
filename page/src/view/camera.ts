// Where the head is looked at from: pure, and apart from the screen. The eye goes round a target on a sphere; it is never
// farther than it could find back from, and never upside down.
import type { Vec3 } from '../core/messages'
import type { Side } from '../state/store'
import { add, cross, dot, sub, times, unit } from './vec'

export interface Eye {
  readonly yaw: number // radians round the head: 0 from the front, positive from the client's left
  readonly pitch: number // radians above level
  readonly distance: number // metres from the target
  readonly target: Vec3
}

export const FIELD = (21 * Math.PI) / 180 // of view, upright: a long lens, as portraits are taken

const SIDES: Readonly<Record<Side, readonly [number, number]>> = {
  front: [0, 0.03],
  left: [Math.PI / 2, 0.03],
  back: [Math.PI, 0.03],
  right: [-Math.PI / 2, 0.03],
  above: [0, Math.PI / 2 - 1e-3],
}
export const FIRST: Eye = { yaw: 0.72, pitch: 0.1, distance: 1.3, target: [0, -0.035, -0.005] }

const NEAR = 0.28
const FAR = 3
const REACH: Vec3 = [0.16, 0.22, 0.16] // how far the target may be moved from the middle of the head

// Far enough to see so much height and breadth of the head.
export function distanceFor(aspect: number, high = 0.44, wide = 0.37): number {
  const half = Math.tan(FIELD / 2)
  return Math.max(high / 2 / half, wide / 2 / (half * aspect))
}

// Far enough to see all of a shape, x, y, z by point, from every side; as for the head alone where that is less.
export function distanceToSee(aspect: number, shape: ArrayLike<number>): number {
  const [, y, z] = FIRST.target
  let up = 0, out = 0
  for (let i = 0; i + 2 < shape.length; i += 3) {
    up = Math.max(up, (shape[i + 1] ?? 0) - y)
    const side = shape[i] ?? 0, front = (shape[i + 2] ?? 0) - z
    out = Math.max(out, side * side + front * front)
  }
  const margin = 0.045
  return Math.max(distanceFor(aspect), distanceFor(aspect, 2 * (up + margin), 2 * Math.sqrt(out) + margin))
}

const clamp = (x: number, low: number, high: number): number => Math.min(high, Math.max(low, x))

export function bounded(eye: Eye): Eye {
  const middle = FIRST.target
  const part = (i: 0 | 1 | 2) => clamp(eye.target[i], middle[i] - REACH[i], middle[i] + REACH[i])
  return {
    yaw: eye.yaw,
    pitch: clamp(eye.pitch, -1.1, Math.PI / 2 - 1e-3),
    distance: clamp(eye.distance, NEAR, FAR),
    target: [part(0), part(1), part(2)],
  }
}

// The side's own eye, by the shorter way round.
export function fromSide(eye: Eye, side: Side, aspect: number): Eye {
  const [yaw, pitch] = SIDES[side]
  const turns = Math.round((eye.yaw - yaw) / (2 * Math.PI))
  return { yaw: yaw + 2 * Math.PI * turns, pitch, distance: distanceFor(aspect), target: FIRST.target }
}

export const turned = (eye: Eye, yaw: number, pitch: number): Eye => bounded({ ...eye, yaw: eye.yaw + yaw, pitch: eye.pitch + pitch })
export const zoomed = (eye: Eye, factor: number): Eye => bounded({ ...eye, distance: eye.distance * factor })

// By shares of the picture's height: right and up.
export function moved(eye: Eye, right: number, up: number): Eye {
  const high = 2 * eye.distance * Math.tan(FIELD / 2)
  const see = axes(eye)
  return bounded({ ...eye, target: add(eye.target, add(times(see.right, right * high), times(see.up, up * high))) })
}

export interface Axes {
  readonly right: Vec3
  readonly up: Vec3
  readonly toward: Vec3 // from the head to the eye
  readonly at: Vec3 // where the eye is
}

export function axes(eye: Eye): Axes {
  const c = Math.cos(eye.pitch)
  const toward: Vec3 = [Math.sin(eye.yaw) * c, Math.sin(eye.pitch), Math.cos(eye.yaw) * c]
  const right: Vec3 = [Math.cos(eye.yaw), 0, -Math.sin(eye.yaw)]
  return { right, up: cross(toward, right), toward, at: add(eye.target, times(toward, eye.distance)) }
}

export interface Frame {
  readonly wide: number // pixels of the page
  readonly high: number
}

export interface Seen {
  readonly x: number
  readonly y: number
  readonly depth: number // metres before the eye
}

export function project(eye: Eye, frame: Frame, p: Vec3): Seen {
  const see = axes(eye)
  const d = sub(p, see.at)
  const depth = -dot(d, see.toward)
  const scale = frame.high / 2 / Math.tan(FIELD / 2) / Math.max(depth, 1e-6)
  return { x: frame.wide / 2 + dot(d, see.right) * scale, y: frame.high / 2 - dot(d, see.up) * scale, depth }
}

export interface Ray {
  readonly from: Vec3
  readonly way: Vec3 // unit
}

export function rayThrough(eye: Eye, frame: Frame, x: number, y: number): Ray {
  const see = axes(eye)
  const k = (2 * Math.tan(FIELD / 2)) / frame.high
  const way = add(times(see.toward, -1), add(times(see.right, (x - frame.wide / 2) * k), times(see.up, (frame.high / 2 - y) * k)))
  return { from: see.at, way: unit(way) }
}

// What is left of a way after a time, for a hand that follows with so much half-life.
export const left = (seconds: number, half: number): number => 2 ** (-seconds / half)

export function approach(now: Eye, goal: Eye, seconds: number, half: number): Eye {
  const k = left(seconds, half)
  const to = (a: number, b: number): number => b + (a - b) * k
  return {
    yaw: to(now.yaw, goal.yaw),
    pitch: to(now.pitch, goal.pitch),
    distance: Math.exp(to(Math.log(now.distance), Math.log(goal.distance))),
    target: [to(now.target[0], goal.target[0]), to(now.target[1], goal.target[1]), to(now.target[2], goal.target[2])],
  }
}

export function near(a: Eye, b: Eye): boolean {
  const shift = Math.max(...a.target.map((x, i) => Math.abs(x - (b.target[i] ?? x))))
  return Math.abs(a.yaw - b.yaw) < 4e-4 && Math.abs(a.pitch - b.pitch) < 4e-4 && Math.abs(a.distance / b.distance - 1) < 4e-4 && shift < 5e-5
}
