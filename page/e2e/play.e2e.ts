// Watching the cut: every panel is parted, combed out, held, cut and dropped, and what is said beside it is what the plan says.
import { expect, it } from 'vitest'
import { sit } from './here'
import { canvas, figure, openExample, standing, type Person } from './person'

type At = Person['page']

const words = (page: At) => page.locator('.play-words')
const scrub = (page: At) => page.getByRole('slider', { name: 'Where in the cut' })
const moment = (page: At) => page.locator('.step[data-playing] .moment')
const PHASES = ['part it off', 'comb it out', 'hold it', 'cut to the guide', 'let it drop'] as const

// Opens it, and stops it at its beginning once the uncut hair lies.
async function watch(page: At): Promise<void> {
  await page.getByRole('button', { name: 'Watch the cut' }).click()
  await words(page).getByText('panel 1').waitFor()
  const pause = page.getByRole('button', { name: 'Pause', exact: true })
  if (await pause.isVisible()) await pause.click()
  await page.getByRole('button', { name: 'Back to the beginning' }).click()
}

// Goes on by hundredths of a panel, as the arrow keys do, until that is said.
async function goOn(page: At, until: string): Promise<void> {
  for (let i = 0; i < 120 && !(await words(page).innerText()).includes(until); i++) await scrub(page).press('ArrowRight')
  expect(await words(page).innerText()).toContain(until)
}

it('shows five moments of every panel, by step and by scrub; sentence and numbers beside it are the plan’s', async () => {
  const { page } = await sit({ draws: false })
  await watch(page)
  const card = page.locator('.step[data-playing]')
  expect(await card.locator('.step-name').inputValue()).toBe('back')
  for (const phase of PHASES) {
    await goOn(page, `back, panel 1: ${phase}`)
    expect(await scrub(page).getAttribute('aria-valuetext')).toContain(phase)
  }
  // The plan holds it at 45 degrees and cuts the first panel to 3 cm at the nape.
  const told = await moment(page).innerText()
  expect(told).toMatch(/^Panel 1 of \d+ · held at 45° · leaves [\d.]+ cm to [\d.]+ cm$/)
  const [least, most] = told.match(/[\d.]+(?= cm)/g)?.map(Number) ?? []
  expect(least).toBeLessThan(3)
  expect(most).toBeGreaterThan(3)
  expect(await moment(page).evaluate((line) => { const { top, bottom } = line.getBoundingClientRect(); return top >= 0 && bottom <= innerHeight })).toBe(true)
  await page.getByRole('button', { name: 'Next panel' }).click()
  await words(page).getByText('2 of 94').waitFor()
  await page.getByRole('button', { name: 'Panel before', exact: true }).click()
  await words(page).getByText('1 of 94').waitFor()
  // Pulled along to where the sides are cut.
  const box = await scrub(page).boundingBox()
  if (!box) throw new Error('no scrub')
  await page.mouse.move(box.x + 4, box.y + box.height / 2)
  await page.mouse.down()
  for (let i = 1; i <= 8; i++) await page.mouse.move(box.x + (box.width * 0.9 * i) / 8, box.y + box.height / 2)
  await page.mouse.up()
  await words(page).getByText('sides, panel').waitFor()
  expect(await card.locator('.step-name').inputValue()).toBe('sides')
  const at = /panel (\d+)/.exec(await words(page).innerText())?.[1]
  expect(await moment(page).innerText()).toMatch(new RegExp(`^Panel ${at} of \\d+ · held at 45° · leaves [\\d.]+ cm`))
  // Another angle is told at once.
  await figure(page, 1, '45').click()
  const input = page.locator('.steps > .step').nth(1).locator('.word-open input')
  await input.fill('60')
  await input.press('Enter')
  await moment(page).getByText('held at 60°').waitFor()
})

it('is five pictures', async () => {
  const { page, shot } = await sit({ width: 1000, height: 700 })
  await watch(page)
  for (let n = 0; n < 8; n++) await page.getByRole('button', { name: 'Next panel' }).click()
  const seen = new Set<string>()
  for (const phase of PHASES) {
    await goOn(page, phase)
    for (let i = 0; i < 5; i++) await scrub(page).press('ArrowRight')
    await page.waitForTimeout(4000)
    // The eye has gone round to where the panel is seen, and how it is held is drawn while it is.
    expect(await page.locator('.head-marks .held.behind').count()).toBe(0)
    expect(await page.locator('.head-marks .held .arc').count() > 0).toBe(phase === 'hold it' || phase === 'cut to the guide')
    seen.add((await canvas(page).screenshot({ timeout: 100_000 })).toString('base64'))
    await shot(`play-${phase.replaceAll(' ', '-')}`)
  }
  expect(seen.size).toBe(PHASES.length)
})

it('goes on by itself, as fast as it is told, and begins again or ends', async () => {
  const { page } = await sit({ draws: false, still: false })
  await watch(page)
  await page.clock.install()
  const count = async (): Promise<number> => Number(/(\d+) of 94/.exec(await words(page).innerText())?.[1])
  const run = async (seconds: number): Promise<number> => {
    const before = await count()
    await page.getByRole('button', { name: 'Play', exact: true }).click()
    await page.clock.runFor(1000 * seconds)
    await page.getByRole('button', { name: 'Pause', exact: true }).click()
    return (await count()) - before
  }
  const speed = page.getByLabel('Speed')
  const once = await run(8)
  expect(once).toBeGreaterThan(0)
  await speed.selectOption('4×')
  expect(await run(8)).toBeGreaterThan(3 * once)
  await scrub(page).press('End')
  await scrub(page).press('PageDown')
  const loop = page.getByRole('button', { name: 'Again and again' })
  await loop.click()
  expect(await loop.getAttribute('aria-pressed')).toBe('true')
  const near = await count()
  expect(near).toBeGreaterThan(80)
  expect(near + (await run(8))).toBeLessThan(near) // past the end, and on from the beginning
  await loop.click()
  await scrub(page).press('End')
  await scrub(page).press('ArrowLeft')
  await page.getByRole('button', { name: 'Play', exact: true }).click()
  await page.clock.runFor(1000)
  await page.getByRole('button', { name: 'Play', exact: true }).waitFor() // it has ended
  expect(await count()).toBe(94)
  await page.getByRole('button', { name: 'Play', exact: true }).press('Escape')
  await words(page).waitFor({ state: 'hidden' })
})

it('goes from moment to moment where motion is not wanted, and by the space bar', async () => {
  const { page } = await sit({ draws: false })
  await watch(page)
  await page.clock.install()
  await scrub(page).press(' ')
  const told: string[] = []
  for (let i = 0; i < 14; i++) {
    await page.clock.runFor(450)
    const now = await words(page).innerText()
    if (now !== told[told.length - 1]) told.push(now)
  }
  await scrub(page).press(' ')
  await page.getByRole('button', { name: 'Play', exact: true }).waitFor()
  const phases = told.map((one) => PHASES.findIndex((phase) => one.includes(phase)))
  phases.slice(1).forEach((phase, i) => expect(phase).toBe(((phases[i] ?? 0) + 1) % PHASES.length)) // none is passed over
  expect(new Set(phases).size).toBe(PHASES.length)
})

it('tells nothing that is not so of a plan that cuts nothing', async () => {
  const { page } = await sit({ draws: false })
  await openExample(page, /An empty plan|A new cut/)
  await page.getByRole('button', { name: 'Watch the cut' }).click()
  await page.getByText('This plan cuts nothing yet.').waitFor()
  await standing(page, '.play-words')
  await page.getByRole('button', { name: 'Done', exact: true }).click()
  await words(page).waitFor({ state: 'hidden' })
})
