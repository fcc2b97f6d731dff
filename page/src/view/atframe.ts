// Drawing that can wait for the next frame: however many of the signals that it read change until then, it is drawn once.
import { effect } from '@preact/signals-core'

export function atFrame(draw: () => void): () => void {
  let stop = (): void => undefined
  let asked = 0
  const watch = (): void => {
    stop()
    let drawn = false
    stop = effect(() => {
      if (drawn) asked = requestAnimationFrame(watch)
      else draw()
      drawn = true
    })
  }
  watch()
  return () => {
    cancelAnimationFrame(asked)
    stop()
  }
}
