// How fast the result follows the hand, in a real browser: for every example a number of the first step is stepped up and down
// by keys, so many times, and the time from each key to new lengths and to the first fall is told, with what the core took of
// it. What the software rasteriser takes stands apart, since a person's machine draws otherwise.
//
// usage: LW_PROGRAM=… vite-node bench/follow.ts > bench/page.csv
import type { Page } from 'playwright-core'
import { ready, sit } from '../e2e/person'

const EDITS = 40

interface Timed {
  readonly total: number
  readonly core: number
}

const share = (sorted: readonly number[], at: number): number => sorted[Math.min(sorted.length - 1, Math.floor(at * sorted.length))] ?? NaN

function told(what: string, example: string, values: readonly number[]): string {
  const sorted = [...values].sort((a, b) => a - b)
  return [what, JSON.stringify(example), sorted.length, share(sorted, 0.5).toFixed(1), share(sorted, 0.95).toFixed(1)].join(',')
}

async function edits(page: Page): Promise<{ lengths: Timed[]; fall: Timed[]; draw: number[] }> {
  await page.locator('.steps .figure').first().click()
  await page.locator('.steps .word-open input').waitFor()
  await page.evaluate(() => (performance.clearMeasures('lengths'), performance.clearMeasures('fall')))
  const draw: number[] = []
  for (let i = 0; i < EDITS; i++) {
    await page.keyboard.press(i % 2 ? 'ArrowDown' : 'ArrowUp')
    await page.waitForFunction((n) => performance.getEntriesByName('fall').length > n, i)
    draw.push(await page.evaluate(() => (document.querySelector('.head canvas') as unknown as { stats: { draw: number } }).stats.draw))
  }
  const read = (name: string) =>
    page.evaluate((which) => performance.getEntriesByName(which).map((e) => ({ total: e.duration, core: (e as unknown as { detail: { core: number } }).detail.core })), name)
  return { lengths: await read('lengths'), fall: await read('fall'), draw }
}

console.log('what,example,edits,median ms,95th percentile ms')
const person = await sit()
const { page } = person
for (const example of await names(page)) {
  await open(page, example)
  const { lengths, fall, draw } = await edits(page)
  console.log(told('input to lengths', example, lengths.map((t) => t.total)))
  console.log(told('of it the core', example, lengths.map((t) => t.core)))
  console.log(told('input to first fall', example, fall.map((t) => t.total)))
  console.log(told('of it the core', example, fall.map((t) => t.core)))
  console.log(told('one picture in the software rasteriser', example, draw))
}
await person.leave()

async function names(p: Page): Promise<string[]> {
  await p.getByRole('button', { name: 'The book' }).click()
  const all = await p.getByLabel('New plan from').locator('option').allInnerTexts()
  await p.keyboard.press('Escape')
  return all.slice(2)
}

async function open(p: Page, title: string): Promise<void> {
  await p.getByRole('button', { name: 'The book' }).click()
  await p.getByLabel('New plan from').selectOption({ label: title })
  await p.waitForFunction((wanted) => document.querySelector('.bar h1')?.textContent === wanted, title)
  await ready(p)
  await p.waitForTimeout(3000)
}
