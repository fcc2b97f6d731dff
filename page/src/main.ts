// Puts the page together: the store in the middle, the engine that follows it, and the parts of the screen that show it.
import { effect } from '@preact/signals-core'
import demo from '../../examples/graduated-bob.json'
import { startEngine } from './core/engine'
import { mountShell } from './shell/shell'
import { planText, type Plan } from './state/plan'
import { createStore } from './state/store'
import { en } from './text/en'

const HAIRS = 8000 // drawn and computed

const root = document.getElementById('page') as HTMLElement
const store = createStore(demo as unknown as Plan, en.shell.opened)
const shell = mountShell(root, store, en)

const engine = startEngine({
  cut(cut) {
    store.fault.value = null
    store.cut.value = cut
  },
  fall: (fall) => void (store.fall.value = fall),
  refused: (fault) => void (store.fault.value = fault),
  broken: (why) => shell.say(en.shell.broken(why)),
})

effect(() => {
  engine.follow(planText(store.plan.value), HAIRS, store.look.value.hair === 'fallen')
})
