// Tabs by the pattern that the WAI-ARIA practices give: arrows go from one to the next, the panel follows at once.
import { html, type TemplateResult } from 'lit-html'

export interface Tab<Id extends string> {
  readonly id: Id
  readonly name: string
}

export function nextTab<Id extends string>(tabs: readonly Tab<Id>[], now: Id, key: string): Id | null {
  const at = tabs.findIndex((tab) => tab.id === now)
  const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: tabs.length - 1 }[key]
  return to === undefined ? null : (tabs[(to + tabs.length) % tabs.length]?.id ?? null)
}

export function tabList<Id extends string>(label: string, tabs: readonly Tab<Id>[], now: Id, choose: (id: Id) => void): TemplateResult {
  const onKey = (event: KeyboardEvent): void => {
    const next = nextTab(tabs, now, event.key)
    if (!next) return
    event.preventDefault()
    choose(next)
    document.getElementById(`tab-${next}`)?.focus()
  }
  return html`<div class="tabs" role="tablist" aria-label=${label} @keydown=${onKey}>
    ${tabs.map(
      ({ id, name }) =>
        html`<button
          type="button"
          role="tab"
          id=${`tab-${id}`}
          aria-controls=${`panel-${id}`}
          aria-selected=${id === now ? 'true' : 'false'}
          tabindex=${id === now ? 0 : -1}
          @click=${() => choose(id)}
        >
          ${name}
        </button>`,
    )}
  </div>`
}
