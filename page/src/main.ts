// Puts the page together: the store in the middle, the engine that follows it, and the parts of the screen that show it.
import { effect } from '@preact/signals-core'
import demo from '../../examples/graduated-bob.json'
import { NOWHERE } from './book/keeping'
import { startKeeper } from './book/keeper'
import { startEngine } from './core/engine'
import { api } from './server/api'
import { mountShell } from './shell/shell'
import { openDrafts } from './state/drafts'
import { planText, type Plan } from './state/plan'
import { createStore } from './state/store'
import { en } from './text/en'
import { mountView } from './view/view'

const HAIRS = 8000 // drawn and computed

const root = document.getElementById('page') as HTMLElement
const store = createStore(demo as unknown as Plan, en.shell.opened)
const drafts = await openDrafts(indexedDB).catch(() => null)
const keeper = startKeeper(store, api, drafts, NOWHERE, '')
const nothing = (): void => undefined
const shell = mountShell(root, store, keeper, en, { paper: nothing, book: nothing, play: nothing, walk: nothing })

const engine = startEngine({
  cut(cut) {
    store.fault.value = null
    store.cut.value = cut
  },
  fall: (fall) => void (store.fall.value = fall),
  refused: (fault) => void (store.fault.value = fault),
  broken: (why) => shell.say(en.shell.broken(why)),
})

mountView(shell.head, store, en)

effect(() => {
  engine.follow(planText(store.plan.value), HAIRS, store.look.value.hair === 'fallen')
})
