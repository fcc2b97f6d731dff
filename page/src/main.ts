// Puts the page together: the store in the middle, the engine that follows it, and the parts of the screen that show it.
import { batch, computed, effect } from '@preact/signals-core'
import { watchForConflicts } from './book/conflict'
import { startKeeper } from './book/keeper'
import { makeBookRoom } from './book/room'
import { beginning } from './book/beginning'
import { startEngine } from './core/engine'
import { startTiming } from './core/timing'
import type { Beside } from './core/messages'
import { mountMeasures } from './measures/measures'
import { mountPlay } from './play/play'
import { makePaper } from './paper/paper'
import { api } from './server/api'
import { mountShell } from './shell/shell'
import { mountPlan } from './plan/plan'
import { mountReadings } from './readings/readings'
import { openDrafts } from './state/drafts'
import { planText } from './state/plan'
import { createStore } from './state/store'
import { en } from './text/en'
import { mountView } from './view/view'
import { makeWalk, walkedBefore } from './walk/walk'

const HAIRS = 8000 // drawn and computed

const root = document.getElementById('page') as HTMLElement
const drafts = await openDrafts(indexedDB, navigator.locks, sessionStorage).catch(() => null)
const begun = await beginning(drafts, api, en)
const store = createStore(begun.history)
const keeper = startKeeper(store, api, drafts, begun)

const paper = makePaper(store, api, en)
const book = makeBookRoom(store, api, keeper, en)
watchForConflicts(store, keeper, en)

const shell = mountShell(root, store, keeper, en, {
  paper: paper.open,
  book: book.open,
  play: () => void (store.playing.value = store.playing.peek() ? null : { step: 0, panel: 0, share: 0 }),
  walk: () => walk.start(),
})

const walk = makeWalk(en, (stop) => {
  if (stop === 'plan' || stop === 'readings') shell.show(stop)
})
if (begun.first && !walkedBefore()) walk.start()

const timing = startTiming(window)
const showBeside = ({ lines, held }: Beside): void => {
  for (const of of lines) (of.step ? store.panelLines : store.lines).value = of
  if (held) store.held.value = held
}
const engine = startEngine({
  table: (table) => void (store.table.value = table),
  words: (words) => void (store.words.value = words),
  reading: (reading) => void (store.reading.value = reading),
  line: (line) => void (store.line.value = line),
  fallen: (fallen) => void (store.fallen.value = fallen),
  cut(cut, held) {
    batch(() => {
      store.fault.value = null
      store.cut.value = cut
      if (held) store.held.value = held
    })
    timing.answered('lengths', cut.id, cut.took)
    shell.ready()
  },
  fall(fall) {
    store.fall.value = fall
    timing.answered('fall', fall.id, fall.took)
  },
  bust: (bust) => void (store.bust.value = bust),
  finer: (surface) => void (store.finer.value = surface),
  measured: (measured) => void (store.measured.value = measured),
  beside: (beside) => batch(() => showBeside(beside)),
  uncut: (fall) => void (store.uncut.value = fall),
  refused: (fault) => void (store.fault.value = fault),
  broken: (why) => shell.say(en.shell.broken(why)),
})

// Hair falls where it is shown fallen, or where the cut is played.
const falls = computed(() => store.look.value.hair === 'fallen' || store.playing.value !== null)
const planned = computed(() => planText(store.plan.value))
// Before what the screen makes of an edit: the core works meanwhile.
effect(() => timing.asked(engine.follow(planned.value, HAIRS, falls.value)))

mountView(shell.head, store, en)
mountPlay(shell.head, store, en)
mountPlan(shell.panel.plan, store, en)
mountMeasures(shell.panel.measures, store, en, () => shell.shown.value === 'measures')
mountReadings(shell.panel.readings, store, en)

effect(() => engine.want(store.want.value))
effect(() => engine.readLine(store.band.value))
