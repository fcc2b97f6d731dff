// Dragging in the picture: a handle follows the hand, the plan follows the handle, at every move, as one edit.
import type { Store } from '../state/store'
import { valueAt, type Plan } from '../state/plan'
import type { Text } from '../text/en'
import type { Eye, Frame } from './camera'
import { held, stepped, valueUnder } from './drags'
import { shownPanel, type Handle } from './handles'
import type { Grip } from './marks'
import type { Vec3 } from '../core/messages'

export interface DragScene {
  eye(): Eye
  frame(): Frame
  corner(): { x: number; y: number } // of the picture on the page
  scalp(x: number, y: number): Vec3 | null // what of the bust is seen there
}

export interface Dragging extends Omit<Grip, 'choose'> {
  readonly busy: boolean
}

let strokes = 0

export function makeDragging(store: Store, text: Text, scene: DragScene): Dragging {
  let busy = false
  let typed: { id: string; stroke: string } | null = null

  const owner = (plan: Plan): string => {
    const chosen = store.chosen.peek()
    if (chosen.kind === 'step') return String(valueAt(plan, ['steps', chosen.at, 'name']) ?? text.view.step(chosen.at + 1))
    if (chosen.kind === 'section') return text.view.parting(String(valueAt(plan, ['sections', chosen.at, 'split']) ?? ''))
    return ''
  }
  // While a hand is on it, a step's hold goes on being shown at the panel where it was taken hold of.
  function stay(): void {
    const chosen = store.chosen.peek(), cut = store.cut.peek()
    const panel = chosen.kind === 'step' && chosen.panel === undefined && cut ? shownPanel(cut, chosen) : null
    if (panel) store.chosen.value = { kind: 'step', at: panel.step - 1, panel: panel.panel - 1 }
  }
  function change(handle: Handle, from: string, next: Plan, to: string, stroke: string): void {
    if (JSON.stringify(next) === JSON.stringify(store.plan.peek())) return
    store.change(text.view.dragged(handle.name, owner(next), from, to), next, stroke)
  }

  return {
    get busy() {
      return busy
    },
    begin(handle, event) {
      if (event.button !== 0) return
      event.preventDefault()
      const element = event.currentTarget as HTMLElement
      element.focus()
      element.setPointerCapture(event.pointerId)
      element.classList.add('dragged')
      stay()
      const stroke = `drag ${++strokes}`
      const plan = store.plan.peek()
      const before = store.history.peek()
      const { x: left, y: top } = scene.corner()
      // What the hand holds is the handle, wherever in it the hand came down.
      const box = element.getBoundingClientRect()
      const off = { x: event.clientX - box.x, y: event.clientY - box.y }
      busy = true
      const abort = new AbortController()
      const end = (): void => {
        busy = false
        abort.abort()
        element.classList.remove('dragged')
        store.settle()
      }
      const options = { signal: abort.signal }
      element.addEventListener('pointermove', (move) => {
        const x = move.clientX - left - off.x, y = move.clientY - top - off.y
        if (handle.kind === 'peg') {
          const at = scene.scalp(x, y)
          const next = at && handle.put(plan, at, move.shiftKey)
          if (next) change(handle, handle.value, next, handle.say(next), stroke)
          return
        }
        const value = held(valueUnder(handle.course, scene.eye(), scene.frame(), x, y), handle.course, move.shiftKey)
        change(handle, handle.value, value === handle.now ? plan : handle.put(plan, value), handle.say(value), stroke)
      }, options)
      element.addEventListener('pointerup', end, options)
      element.addEventListener('pointercancel', end, options)
      window.addEventListener('keydown', (key) => {
        if (key.key !== 'Escape') return
        key.preventDefault()
        key.stopPropagation()
        end()
        if (store.history.peek().at > before.at) store.undo()
      }, { ...options, capture: true })
    },
    key(handle, event) {
      const way = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1 }[event.key] as 1 | -1 | undefined
      if (!way || event.ctrlKey || event.metaKey || event.altKey) return
      event.preventDefault()
      event.stopPropagation()
      stay()
      if (typed?.id !== handle.id) typed = { id: handle.id, stroke: `keys ${++strokes}` }
      const plan = store.plan.peek()
      if (handle.kind === 'peg') {
        const next = handle.hop(plan, way)
        return change(handle, handle.value, next, handle.say(next), typed.stroke)
      }
      const value = stepped(handle.now, way, handle.course, event.shiftKey)
      change(handle, handle.value, handle.put(plan, value), handle.say(value), typed.stroke)
    },
    leave(handle) {
      if (typed?.id !== handle.id) return
      typed = null
      store.settle()
    },
  }
}
