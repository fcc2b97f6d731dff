// The hand that draws a band on the head, while it is asked for: from where it comes down on the scalp to where it is. A drag that
// begins beside the head turns it, as ever.
import type { Vec3 } from '../core/messages'
import type { Band, Store } from '../state/store'
import { bandFrom, meant } from './band'
import type { NamedPlace } from './drags'

export interface SketchScene {
  scalp(event: PointerEvent): Vec3 | null // what of the bust is seen there
  places(): readonly NamedPlace[] // that an end holds to
}

const STILL = 5 // pixels within which a press draws nothing

export function listenForBands(canvas: HTMLElement, store: Store, scene: SketchScene): () => void {
  const abort = new AbortController()
  const options = { capture: true, signal: abort.signal }
  let drawn: { id: number; x: number; y: number; from: Vec3; before: Band | null; moved: boolean } | null = null
  const root = canvas.parentElement ?? canvas

  // Before the canvas, which would turn the head.
  root.addEventListener('pointerdown', (event) => {
    if (!store.drawing.peek() || event.target !== canvas || event.button !== 0) return
    const from = drawn ? null : scene.scalp(event)
    if (!drawn && !from) return
    event.stopPropagation()
    if (!from) return // a second finger
    canvas.setPointerCapture(event.pointerId)
    canvas.focus()
    drawn = { id: event.pointerId, x: event.clientX, y: event.clientY, from: meant(from, scene.places(), event.shiftKey), before: store.band.peek(), moved: false }
  }, options)
  root.addEventListener('pointermove', (event) => {
    if (!drawn || event.pointerId !== drawn.id) return
    event.stopPropagation()
    if (!drawn.moved && Math.hypot(event.clientX - drawn.x, event.clientY - drawn.y) <= STILL) return
    drawn.moved = true
    const to = scene.scalp(event)
    const band = to && bandFrom(drawn.from, meant(to, scene.places(), event.shiftKey))
    if (band) store.band.value = band
  }, options)
  const end = (event: PointerEvent): void => {
    if (!drawn || event.pointerId !== drawn.id) return
    event.stopPropagation()
    drawn = null
  }
  root.addEventListener('pointerup', end, options)
  root.addEventListener('pointercancel', end, options)
  window.addEventListener('keydown', (key) => {
    if (key.key !== 'Escape' || !store.drawing.peek()) return
    key.preventDefault()
    key.stopPropagation()
    if (drawn) store.band.value = drawn.before
    else store.drawing.value = false
    drawn = null
  }, options)
  return () => abort.abort()
}
