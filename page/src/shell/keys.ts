// Keys that work wherever the hand is, unless it is typing.
import type { Store } from '../state/store'

export type Command = 'undo' | 'redo'

export function commandOf(event: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey' | 'shiftKey' | 'altKey'>): Command | null {
  if (event.altKey || !(event.ctrlKey || event.metaKey)) return null
  const key = event.key.toLowerCase()
  if (key === 'z') return event.shiftKey ? 'redo' : 'undo'
  return key === 'y' && !event.shiftKey ? 'redo' : null
}

const typing = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && (target.isContentEditable || target.matches('textarea, input:not([type=checkbox], [type=radio], [type=range], [type=button])'))

export function listenForKeys(to: EventTarget, store: Store): void {
  to.addEventListener('keydown', (event) => {
    const command = commandOf(event as KeyboardEvent)
    if (!command || typing(event.target)) return
    event.preventDefault()
    store[command]()
  })
}
