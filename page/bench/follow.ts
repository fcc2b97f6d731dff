// How fast the result follows the hand, in a real browser: for every example a number of the first step is stepped up and down
// by keys, so many times, and the time from each key to new lengths on the head and to the first fall is told, with what the
// core took of it, and the longest time in which the page could not have answered; then the same of all edits together. First
// with everything that is drawn left out after it has been handed to the graphics processor, since a person's machine has one
// and this one may draw in software, on the same cores; then with it.
// "while dragged": the elevation of the first step's hair is dragged to and fro on the head, with an event every 16 ms; the times
// are those of the events that were answered.
//
// usage: LW_PROGRAM=… vite-node bench/follow.ts > bench/page.csv
import type { Page } from 'playwright-core'
import { ready, sit, standing } from '../e2e/person'

const EDITS = { drawn: 20, not: 40 }
const REST = 500 // milliseconds between two edits
const DRAG = { long: 8000, every: 16, far: 60 } // milliseconds, pixels

interface Timed {
  readonly total: number
  readonly core: number
}

const share = (sorted: readonly number[], at: number): number => sorted[Math.min(sorted.length - 1, Math.floor(at * sorted.length))] ?? NaN

function tell(draws: boolean, what: string, example: string, values: readonly number[]): void {
  const sorted = [...values].sort((a, b) => a - b)
  console.log([draws ? 'drawn in software' : 'not drawn', what, JSON.stringify(example), sorted.length, share(sorted, 0.5).toFixed(1), share(sorted, 0.95).toFixed(1)].join(','))
}

interface Edited {
  readonly lengths: Timed[]
  readonly fall: Timed[]
  readonly draw: number[]
  readonly busy: number[] // the longest that nothing else could be answered, for each edit
}

// Watches for tasks of the page that take longer than 50 ms (W3C Long Tasks).
const watch = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const kept: { at: number; took: number }[] = []
    Object.assign(window, { longTasks: kept })
    new PerformanceObserver((list) => list.getEntries().forEach((e) => kept.push({ at: e.startTime, took: e.duration }))).observe({ type: 'longtask' })
  })

async function edits(page: Page, many: number): Promise<Edited> {
  await page.locator('.steps .figure').first().click()
  await page.locator('.steps .word-open input').waitFor()
  await page.waitForTimeout(REST)
  await page.evaluate(() => (performance.clearMeasures('lengths'), performance.clearMeasures('fall')))
  const draw: number[] = [], busy: number[] = []
  await watch(page)
  for (let i = 0; i < many; i++) {
    const began = await page.evaluate(() => performance.now())
    await page.keyboard.press(i % 2 ? 'ArrowDown' : 'ArrowUp')
    await page.waitForFunction((n) => performance.getEntriesByName('fall').length > n, i)
    await page.waitForTimeout(REST)
    draw.push(await page.evaluate(() => (document.querySelector('.head canvas') as unknown as { stats: { draw: number } }).stats.draw))
    busy.push(await page.evaluate((since) => Math.max(0, ...(window as unknown as { longTasks: { at: number; took: number }[] }).longTasks.filter((t) => t.at >= since).map((t) => t.took)), began))
  }
  return { lengths: await times(page, 'lengths'), fall: await times(page, 'fall'), draw, busy }
}

const times = (page: Page, name: string): Promise<Timed[]> =>
  page.evaluate((which) => performance.getEntriesByName(which).map((e) => ({ total: e.duration, core: (e as unknown as { detail: { core: number } }).detail.core })), name)

// Lengths while a handle is dragged; none where the first step's hair is not held up.
async function dragged(page: Page): Promise<Timed[]> {
  await page.keyboard.press('Escape')
  await page.locator('.steps > .step .step-name').first().click()
  await page.waitForTimeout(2 * REST)
  if ((await page.locator('.handle[data-handle=elevation]').count()) === 0) return []
  const { x, y } = await standing(page, '.handle[data-handle=elevation] .grip')
  await page.mouse.move(x, y)
  await page.mouse.down()
  await page.evaluate(() => performance.clearMeasures('lengths'))
  const moves: Promise<void>[] = []
  for (const began = performance.now(); performance.now() - began < DRAG.long; ) {
    const turn = (performance.now() - began) / 640
    moves.push(page.mouse.move(x + DRAG.far * Math.sin(turn), y + DRAG.far * Math.sin(1.1 * turn)))
    await new Promise((go) => setTimeout(go, DRAG.every))
  }
  await Promise.all(moves)
  await page.mouse.up()
  await page.waitForTimeout(REST)
  return times(page, 'lengths')
}

async function names(page: Page): Promise<string[]> {
  await page.getByRole('button', { name: 'The book' }).click()
  const all = await page.getByLabel('New plan from').locator('option').allInnerTexts()
  await page.keyboard.press('Escape')
  return all.slice(2)
}

async function open(page: Page, title: string): Promise<void> {
  await page.getByRole('button', { name: 'The book' }).click()
  await page.getByLabel('New plan from').selectOption({ label: title })
  await page.waitForFunction((wanted) => document.querySelector('.bar h1')?.textContent === wanted, title)
  await ready(page)
  await page.waitForTimeout(3000)
}

console.log('drawing,what,example,edits,median ms,95th percentile ms')
for (const draws of [false, true]) {
  const person = await sit({ draws })
  const all = new Map<string, number[]>()
  const told = (what: string, example: string, values: readonly number[]): void => {
    tell(draws, what, example, values)
    all.set(what, [...(all.get(what) ?? []), ...values])
  }
  for (const example of await names(person.page)) {
    await open(person.page, example)
    const { lengths, fall, draw, busy } = await edits(person.page, draws ? EDITS.drawn : EDITS.not)
    told('input to lengths', example, lengths.map((t) => t.total))
    told('of it the core', example, lengths.map((t) => t.core))
    told('input to first fall', example, fall.map((t) => t.total))
    told('of that the core', example, fall.map((t) => t.core))
    told('longest task of the page; 0 below 50', example, busy)
    const drag = await dragged(person.page)
    if (drag.length > 0) told('input to lengths while dragged', example, drag.map((t) => t.total))
    if (draws) told('one picture in the software rasteriser', example, draw)
  }
  for (const [what, values] of all) tell(draws, what, 'all of them', values)
  await person.leave()
}
