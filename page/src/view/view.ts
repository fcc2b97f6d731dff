// The head on the screen.
import type { Store } from '../state/store'
import type { Text } from '../text/en'

export interface View {
  dispose(): void
}

export function mountView(root: HTMLElement, store: Store, text: Text): View {
  void store, text
  const canvas = document.createElement('canvas')
  root.append(canvas)
  return { dispose: () => canvas.remove() }
}
