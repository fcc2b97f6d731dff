// A dialog of the browser's own: it keeps the focus inside, closes on Escape, and gives the focus back.
import { html, render, type TemplateResult } from 'lit-html'
import { effect } from '@preact/signals-core'
import type { Text } from '../text/en'

export interface Dialog {
  open(): void
  close(): void
  readonly element: HTMLDialogElement
}

// `body` is drawn again whenever a signal that it reads changes, while the dialog is open.
export function makeDialog(name: string, title: string, text: Text, body: () => TemplateResult, closed?: () => void): Dialog {
  const element = document.createElement('dialog')
  element.className = `dialog ${name}`
  element.setAttribute('aria-labelledby', `${name}-title`)
  document.body.append(element)
  let stop: (() => void) | null = null
  const close = (): void => element.close()
  element.addEventListener('close', () => {
    stop?.()
    stop = null
    closed?.()
  })
  element.addEventListener('pointerdown', (event) => {
    if (event.target === element) close() // outside of what the dialog holds
  })
  return {
    element,
    close,
    open() {
      stop ??= effect(
        () =>
          void render(
            html`<div class="dialog-in">
              <header>
                <h2 id=${`${name}-title`}>${title}</h2>
                <button type="button" class="quiet close" @click=${close}>${text.shell.close}</button>
              </header>
              ${body()}
            </div>`,
            element,
          ),
      )
      if (!element.open) element.showModal()
    },
  }
}
