// What the cut leaves, beside the head and on it: places, bands, the weight line, balance, and what to watch out for.
import { expect, it } from 'vitest'
import { sit } from './here'
import { another, canvas, drag, figure, landmark, openExample, standing, steps, undo, type Person } from './person'

type At = Person['page']

const readings = (page: At) => page.locator('#panel-readings')
const written = async (page: At): Promise<string[]> => (await page.locator('.head-marks .read').allTextContents()).map((one) => one.trim())
const drawn = (page: At) => readings(page).locator('section', { has: page.getByRole('heading', { name: 'Your band' }) })

it('shows a place on the head whose length is chosen, from wherever it is looked at', async () => {
  const { page, shot } = await sit({ draws: false })
  await page.getByRole('button', { name: 'Front', exact: true }).click()
  for (const name of ['nape centre', 'crown', 'ear top right']) {
    const button = readings(page).getByRole('button', { name: new RegExp(`^${name}:`) })
    const length = /([\d.]+ cm)/.exec((await button.getAttribute('aria-label')) ?? '')?.[1] ?? 'no length'
    await button.click()
    const label = page.locator('.head .landmark[data-chosen=true]')
    await label.getByText(name).waitFor()
    expect(await label.textContent()).toContain(length) // the same figure on the head
    expect(await page.locator('.head .landmark').count()).toBe(1)
    await shot(`readings-${name.replaceAll(' ', '-')}`)
    await button.click()
    await label.waitFor({ state: 'detached' })
  }
})

it('reads a band that is drawn on the head: it follows the hand, Escape takes it back and then leaves', async () => {
  const { page, shot } = await sit({ draws: false })
  await page.getByRole('button', { name: 'Landmarks', exact: true }).click()
  await page.getByRole('button', { name: 'Left', exact: true }).click()
  const [from, to] = [await landmark(page, 'temple left'), await landmark(page, 'behind ear left')]
  const draw = drawn(page).getByRole('button', { name: 'Draw it on the head' })
  await draw.click()
  expect(await draw.getAttribute('aria-pressed')).toBe('true')
  await page.getByText('Draw a line over the scalp').waitFor()
  const off = page.getByRole('button', { name: 'Off', exact: true })
  expect(await off.getAttribute('aria-pressed')).toBe('true') // on the bare scalp
  const told: string[] = []
  await page.mouse.move(from.x, from.y)
  await page.mouse.down()
  for (let i = 1; i <= 4; i++) {
    await page.mouse.move(from.x + ((to.x - from.x) * i) / 4, from.y + ((to.y - from.y) * i) / 4)
    await page.waitForFunction((old) => document.querySelector('#panel-readings svg.along[role=img]')?.getAttribute('aria-label') !== old, told[told.length - 1] ?? undefined)
    told.push((await drawn(page).locator('svg.along').getAttribute('aria-label')) ?? '')
  }
  await page.mouse.up()
  expect(new Set(told).size).toBe(4) // at every move
  await drawn(page).getByText('From temple left to behind ear left').waitFor() // ends hold to landmarks
  const figures = await written(page)
  const says = (await drawn(page).locator('svg.along').getAttribute('aria-label')) ?? ''
  expect(figures.length).toBeGreaterThanOrEqual(2)
  for (const one of figures) expect(says).toContain(one) // on the head as beside it
  // What stands at its ends is what stands at those places.
  const near = async (name: string): Promise<number> => Number(/([\d.]+) cm/.exec((await readings(page).getByRole('button', { name: `${name}:` }).getAttribute('aria-label')) ?? '')?.[1])
  const [first] = /([\d.]+) cm/.exec(says)?.slice(1) ?? []
  expect(Math.abs(Number(first) - (await near('temple left')))).toBeLessThan(0.5)
  expect(says).toMatch(/^(round|square|triangular|mixed)/)
  await shot('band-drawn')

  // A second one is given up in the middle of it.
  await page.mouse.move(from.x + 60, from.y - 60)
  await page.mouse.down()
  await page.mouse.move(from.x + 140, from.y - 20, { steps: 4 })
  await page.waitForFunction((old) => document.querySelector('#panel-readings svg.along[role=img]')?.getAttribute('aria-label') !== old, says)
  await page.keyboard.press('Escape')
  await page.mouse.up()
  await page.waitForFunction((old) => document.querySelector('#panel-readings svg.along[role=img]')?.getAttribute('aria-label') === old, says)
  expect(await draw.getAttribute('aria-pressed')).toBe('true')

  // Beside the head a drag turns it, and draws nothing.
  const box = await canvas(page).boundingBox()
  if (!box) throw new Error('no head')
  await drag(page, { x: box.x + 20, y: box.y + box.height / 2 }, { x: box.x + 80, y: box.y + box.height / 2 })
  expect(await drawn(page).locator('svg.along').getAttribute('aria-label')).toBe(says)
  await page.keyboard.press('Escape')
  expect(await draw.getAttribute('aria-pressed')).toBe('false')
  expect(await page.getByRole('button', { name: 'Fallen', exact: true }).getAttribute('aria-pressed')).toBe('true') // as it was before

  // The plan changes, and the band with it.
  await steps(page).first().locator('.figure', { hasText: '3 cm' }).click()
  const input = steps(page).first().locator('.word-open input')
  await input.fill('6')
  await input.press('Enter')
  await page.waitForFunction((old) => document.querySelector('#panel-readings svg.along[role=img]')?.getAttribute('aria-label') !== old, says)
  await drawn(page).getByRole('button', { name: 'Clear' }).click()
  await drawn(page).locator('svg.along').waitFor({ state: 'detached' })
  expect(await written(page)).toEqual([])
})

it('reads a level and an upright band by keyboard, through a place', async () => {
  const { page } = await sit({ draws: false })
  const kind = drawn(page).getByLabel('Your band')
  const through = drawn(page).getByLabel('Place')
  await through.selectOption('occipital bone')
  await drawn(page).locator('svg.along').waitFor()
  const level = await drawn(page).locator('svg.along').getAttribute('aria-label')
  expect(level).toMatch(/^(round|square|triangular|mixed)/)
  await kind.selectOption('upright')
  await page.waitForFunction((old) => document.querySelector('#panel-readings svg.along[role=img]')?.getAttribute('aria-label') !== old, level)
  expect(await drawn(page).locator('svg.along').getAttribute('aria-label')).toMatch(/^(graduated|one length|uniform|increasing|mixed)/)
  // It reaches from the nape, where the cut is shortest, to the front.
  const [bottom, , top] = ((await drawn(page).locator('svg.along').getAttribute('aria-label')) ?? '').match(/[\d.]+(?= cm)/g)?.map(Number) ?? []
  expect(bottom).toBeLessThan(5)
  expect(top).toBeGreaterThan(15)
})

it('draws the weight line on the hair as it lies, at the height that the reading tells', async () => {
  const { page, shot } = await sit({ draws: false })
  await openExample(page, /One-length bob/)
  await page.keyboard.press('Escape')
  const line = page.locator('.head-marks .weight path:not(.casing)')
  const toggle = page.getByRole('button', { name: 'Weight line', exact: true })
  await toggle.click()
  await line.first().waitFor({ state: 'attached', timeout: 100_000 }) // once the hair has come to rest
  await page.getByRole('button', { name: 'Back', exact: true }).click()
  await standing(page, '.head-marks .weight text')
  const said = ((await page.locator('.head-marks .weight text').textContent()) ?? '').trim()
  expect(said).toMatch(/^weight line, [\d.]+ cm (above|below) the chin$/)
  const [, high, side] = /([\d.]+) cm (above|below)/.exec(said) ?? []
  const range = await readings(page).locator('.round .quiet-text').innerText()
  const [, low, lowSide, top, topSide] = /from ([\d.]+) cm (above|below) the chin to ([\d.]+) cm (above|below)/.exec(range) ?? []
  const signed = (cm?: string, where?: string): number => (where === 'below' ? -1 : 1) * Number(cm)
  expect(signed(high, side)).toBeGreaterThanOrEqual(signed(low, lowSide) - 0.1)
  expect(signed(high, side)).toBeLessThanOrEqual(signed(top, topSide) + 0.1)
  await shot('weight-back')
  await page.getByRole('button', { name: 'Held', exact: true }).click()
  await line.first().waitFor({ state: 'detached' }) // hair that is held has none
})

it('tells what is uneven, and that undoing it makes it even again', async () => {
  const { page } = await sit({ draws: false })
  const balance = readings(page).locator('.facts div', { hasText: 'Left and right' }).locator('dd')
  await balance.getByText('the same everywhere').waitFor()
  await steps(page).first().locator('.step-name').click()
  await page.getByRole('button', { name: 'On this side only' }).click()
  await balance.getByText(/apart by [\d.]+ cm on average, at most [\d.]+ cm near the/).waitFor()
  await undo(page)
  await balance.getByText('the same everywhere').waitFor()
})

// Hair that goes on from where it lay lies otherwise than hair that falls from the comb.
it('reads of hair at rest what the plan says, not what was tried before', async () => {
  const { page } = await sit({ draws: false })
  const falls = readings(page).locator('section', { has: page.getByRole('heading', { name: 'As it falls' }) })
  const says = () => falls.innerText()
  const until = (what: (said: string) => boolean) => expect.poll(async () => what(await says()), { timeout: 60_000 }).toBe(true)
  await falls.locator('table.falls').waitFor()
  const first = await says()
  for (let i = 0; i < 3; i++) {
    await figure(page, 0, '45').click()
    const input = steps(page).first().locator('.word-open input')
    for (let press = 0; press < 4; press++) await another(page, () => input.press('ArrowUp'))
    await input.press('Enter')
    await until((said) => said !== first)
    await another(page, () => undo(page))
    await until((said) => said === first)
  }
})

it('warns, jumps to the step, and applies a remedy that can be undone', async () => {
  const { page, shot } = await sit({ draws: false })
  await openExample(page, /^Short cut/)
  await page.keyboard.press('Escape')
  const all = readings(page).locator('.warning')
  const long = all.filter({ has: page.getByRole('button', { name: 'Cut it in bites' }) }).first()
  await long.waitFor()
  const before = await all.count()
  expect(await readings(page).locator('.warn-title').innerText()).toContain(String(before))
  await shot('warnings')
  const jump = long.getByRole('button', { name: /^Show step \d+$/ })
  const step = Number(/\d+/.exec(await jump.innerText())?.[0])
  await jump.click()
  expect(await steps(page).nth(step - 1).getAttribute('aria-current')).toBe('step')
  await page.locator('.handle[data-handle=elevation]').waitFor({ state: 'attached' }) // and the head shows how it is held
  const title = await page.getByRole('button', { name: 'Undo', exact: true }).getAttribute('title')
  await another(page, () => long.getByRole('button', { name: 'Cut it in bites' }).click())
  await page.waitForFunction((n) => document.querySelectorAll('#panel-readings .warning').length < n, before)
  expect(await all.filter({ has: page.getByRole('button', { name: 'Cut it in bites' }) }).count()).toBe(0)
  expect(await page.getByRole('button', { name: 'Undo', exact: true }).getAttribute('title')).not.toBe(title)
  await another(page, () => undo(page))
  await page.waitForFunction((n) => document.querySelectorAll('#panel-readings .warning').length === n, before)
})
