// The hand on the picture: what a pointer, a wheel and keys do to the eye.
import type { Side } from '../state/store'
import { distanceFor, FIRST, moved, turned, zoomed, type Eye, type Frame } from './camera'

const TURN = 3.4 // radians for the picture's height
const STEP = Math.PI / 18

export interface Does {
  side(side: Side): void
  tap(x: number, y: number): void
}

const STILL = 5 // pixels within which a press is a tap
const SIDES: Readonly<Record<string, Side>> = { f: 'front', b: 'back', l: 'left', r: 'right', a: 'above' }

export function listen(canvas: HTMLElement, frame: () => Frame, eye: () => Eye, go: (eye: Eye) => void, does: Does): () => void {
  const down = new Map<number, { x: number; y: number }>()
  const abort = new AbortController()
  let tapped: { x: number; y: number } | null = null
  const on = <K extends keyof HTMLElementEventMap>(kind: K, act: (event: HTMLElementEventMap[K]) => void, options: AddEventListenerOptions = {}) =>
    canvas.addEventListener(kind, act, { ...options, signal: abort.signal })

  on('pointerdown', (event) => {
    canvas.setPointerCapture(event.pointerId)
    tapped = down.size === 0 && event.button === 0 ? { x: event.clientX, y: event.clientY } : null
    down.set(event.pointerId, { x: event.clientX, y: event.clientY })
  })
  on('pointermove', (event) => {
    const was = down.get(event.pointerId)
    if (!was) return
    const now = { x: event.clientX, y: event.clientY }
    if (tapped && Math.hypot(now.x - tapped.x, now.y - tapped.y) > STILL) tapped = null
    const { high } = frame()
    if (down.size === 1) {
      const dx = (now.x - was.x) / high, dy = (now.y - was.y) / high
      go(event.shiftKey || event.buttons === 4 || event.buttons === 2 ? moved(eye(), -dx, dy) : turned(eye(), -dx * TURN, dy * TURN))
    } else {
      const other = [...down].find(([id]) => id !== event.pointerId)?.[1]
      if (other) {
        const before = Math.hypot(was.x - other.x, was.y - other.y), after = Math.hypot(now.x - other.x, now.y - other.y)
        go(moved(zoomed(eye(), before / Math.max(after, 1)), -(now.x - was.x) / 2 / high, (now.y - was.y) / 2 / high))
      }
    }
    down.set(event.pointerId, now)
  })
  const up = (event: PointerEvent) => void down.delete(event.pointerId)
  on('pointerup', (event) => {
    up(event)
    const box = canvas.getBoundingClientRect()
    if (tapped) does.tap(tapped.x - box.x, tapped.y - box.y)
    tapped = null
  })
  on('pointercancel', up)
  on('contextmenu', (event) => event.preventDefault())
  on('wheel', (event) => {
    event.preventDefault()
    go(zoomed(eye(), Math.exp(Math.max(-120, Math.min(120, event.deltaY)) * 0.0016)))
  }, { passive: false })
  const middle = (): Eye => ({ ...eye(), target: FIRST.target, distance: distanceFor(frame().wide / frame().high) })
  on('dblclick', () => go(middle()))
  on('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const step = event.shiftKey ? STEP / 5 : STEP
    const side = SIDES[event.key]
    if (side) {
      event.preventDefault()
      return does.side(side)
    }
    const next = {
      ArrowLeft: () => turned(eye(), step, 0),
      ArrowRight: () => turned(eye(), -step, 0),
      ArrowUp: () => turned(eye(), 0, -step),
      ArrowDown: () => turned(eye(), 0, step),
      '+': () => zoomed(eye(), 1 / 1.15),
      '=': () => zoomed(eye(), 1 / 1.15),
      '-': () => zoomed(eye(), 1.15),
      '0': middle,
    }[event.key]
    if (!next) return
    event.preventDefault()
    go(next())
  })
  return () => abort.abort()
}
