// Dragging one of a list to another place: where it would land, told while the pointer moves.
export interface Drag {
  readonly from: number
  readonly to: number // where it would stand if it were let go now
}

// The place for something taken from `from` and held at height y, given the middles of all in their order.
export function landing(from: number, y: number, middles: readonly number[]): number {
  let to = 0
  middles.forEach((middle, i) => {
    if (i !== from && y > middle) to++
  })
  return to
}

export function followDrag(event: PointerEvent, grip: HTMLElement, list: HTMLElement, from: number, moved: (drag: Drag | null) => void, dropped: (drag: Drag) => void): void {
  if (event.button !== 0) return
  event.preventDefault()
  grip.focus()
  grip.setPointerCapture(event.pointerId)
  const began = event.clientY
  let now: Drag | null = null
  const scroller = list.closest('.panel') ?? document.scrollingElement
  const move = (at: PointerEvent): void => {
    if (!now && Math.abs(at.clientY - began) < 5) return
    if (scroller) {
      const box = scroller.getBoundingClientRect()
      if (at.clientY < box.top + 40) scroller.scrollTop -= 12
      if (at.clientY > box.bottom - 40) scroller.scrollTop += 12
    }
    const middles = [...list.children].map((child) => {
      const box = child.getBoundingClientRect()
      return box.top + box.height / 2
    })
    now = { from, to: landing(from, at.clientY, middles) }
    moved(now)
  }
  const end = (at: PointerEvent): void => {
    grip.removeEventListener('pointermove', move)
    grip.removeEventListener('pointerup', end)
    grip.removeEventListener('pointercancel', end)
    grip.removeEventListener('keydown', escape)
    moved(null)
    if (at.type === 'pointerup' && now && now.to !== from) dropped(now)
  }
  const escape = (key: KeyboardEvent): void => {
    if (key.key !== 'Escape') return
    now = null
    end(new PointerEvent('pointercancel'))
  }
  grip.addEventListener('pointermove', move)
  grip.addEventListener('pointerup', end)
  grip.addEventListener('pointercancel', end)
  grip.addEventListener('keydown', escape)
}
