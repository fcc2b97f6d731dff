// The book, as a hairdresser uses it: nothing is lost, whoever else is there, whatever happens to the program.
import { expect, it } from 'vitest'
import { sit } from './here'
import { lookForFaults, ready, serve, undo, type Person } from './person'

const kept = (p: Person['page']) => p.waitForSelector('.kept[data-state="kept"]')
const title = (p: Person['page']) => p.locator('.bar h1').innerText()

// Renames the plan, as an edit that shows everywhere.
async function rename(p: Person['page'], to: string): Promise<void> {
  await p.getByLabel('title', { exact: true }).fill(to)
  await p.getByLabel('title', { exact: true }).blur()
  await p.waitForFunction((wanted) => document.querySelector('.bar h1')?.textContent === wanted, to)
}

it('keeps an edit by itself, and undoes it after the page was loaded again', async () => {
  const { page } = await sit({ draws: false })
  const before = await title(page)
  expect(await page.locator('.kept').getAttribute('data-state')).toBe('changed') // an example is not put into the book
  await rename(page, 'Bob for the class')
  await kept(page)
  await page.reload()
  await ready(page)
  expect(await title(page)).toBe('Bob for the class')
  await undo(page)
  expect(await title(page)).toBe(before)
  await page.getByRole('button', { name: 'Redo', exact: true }).click()
  expect(await title(page)).toBe('Bob for the class')
})

it('adds a person, keeps their measures, plans for them, and forgets them with all that is theirs', async () => {
  const { page, shot } = await sit({ draws: false })
  await page.getByRole('button', { name: 'The book' }).click()
  const book = page.getByRole('dialog', { name: 'The book' })
  await book.getByLabel('New person').fill('Ilse Varnholt')
  await book.getByRole('button', { name: 'Add', exact: true }).click()
  await book.getByRole('heading', { name: 'Ilse Varnholt' }).waitFor()
  await book.getByRole('button', { name: 'Keep the measures on the screen here' }).click()
  await book.getByText('55.5 cm').waitFor()
  await book.getByLabel('New note').fill('Crown grows to the left.')
  await book.getByRole('button', { name: 'Add note' }).click()
  await book.getByText('Crown grows to the left.').waitFor()
  await shot('book-person')
  await book.getByRole('button', { name: /Use the plan on the screen for/ }).click()
  await kept(page)
  await page.getByRole('button', { name: 'The book' }).click()
  await book.getByRole('heading', { name: /Graduated bob/ }).waitFor()
  await shot('book-plan')
  await book.getByRole('button', { name: 'To Ilse Varnholt' }).click()
  await book.getByLabel('Find', { exact: true }).fill('crown')
  await book.getByText('1 found').waitFor()
  await book.getByRole('button', { name: /Remove Ilse Varnholt from the book/ }).click()
  await book.getByText(/With Ilse Varnholt go 1 plans/).waitFor()
  await book.getByRole('button', { name: 'Remove for good' }).click()
  await book.getByText(/no longer in the book/).waitFor()
  await book.getByLabel('Find', { exact: true }).fill('')
  await book.getByText('Nothing found').waitFor()
})

it('brings an earlier revision back as an edit', async () => {
  const { page } = await sit({ draws: false })
  await rename(page, 'First')
  await kept(page)
  await rename(page, 'Second')
  await kept(page)
  await page.getByRole('button', { name: 'The book' }).click()
  await page.getByRole('button', { name: 'Bring back revision 1' }).click()
  await page.waitForFunction(() => document.querySelector('.bar h1')?.textContent === 'First')
  await kept(page)
  await undo(page)
  expect(await title(page)).toBe('Second')
})

it('tells the second of two pages that edit one plan, shows both, and overwrites nothing', async () => {
  const { page, context, server, faults, shot } = await sit({ draws: false })
  await rename(page, 'Shared')
  await kept(page)
  const other = await context.newPage()
  lookForFaults(other, faults)
  await other.goto(server.origin)
  await ready(other)
  await rename(other, 'Theirs')
  await kept(other)
  await rename(page, 'Ours')
  const both = page.getByRole('dialog', { name: 'This plan was changed elsewhere as well' })
  await both.waitFor()
  await both.getByRole('row', { name: /title Ours Theirs/ }).waitFor()
  await shot('conflict')
  await both.getByRole('button', { name: /Keep mine on top/ }).click()
  await kept(page)
  await page.getByRole('button', { name: 'The book' }).click()
  const revisions = page.locator('.revisions li')
  await page.getByText('the newest').waitFor()
  expect(await revisions.count()).toBe(3) // Shared, Theirs, Ours
  expect(await page.getByRole('heading', { name: 'Ours' }).count()).toBe(2) // on the bar and in the book
})

it('keeps two pages apart: each comes back as it was, with its own history', async () => {
  const { page, context, server, faults } = await sit({ draws: false })
  await rename(page, 'One')
  const other = await context.newPage()
  lookForFaults(other, faults)
  await other.goto(server.origin)
  await ready(other)
  const was = await title(other)
  await other.getByRole('button', { name: 'The book' }).click()
  await other.getByLabel('New plan from').selectOption({ index: 3 })
  await other.waitForFunction((old) => document.querySelector('.bar h1')?.textContent !== old, was)
  await rename(other, 'Two')
  await Promise.all([kept(page), kept(other)])
  for (const [at, wanted] of [[page, 'One'], [other, 'Two']] as const) {
    await at.reload()
    await ready(at)
    expect(await title(at)).toBe(wanted)
    await at.getByRole('button', { name: 'Undo', exact: true }).click()
    expect(await title(at)).not.toBe(wanted)
    await at.getByRole('button', { name: 'Redo', exact: true }).click()
  }
})

it('goes on when the program was killed, and keeps what was edited once it is back', async () => {
  const server = await serve()
  const { page, context } = await sit({ server, draws: false })
  await rename(page, 'Before')
  await kept(page)
  await server.kill()
  await rename(page, 'While it was gone')
  await page.waitForSelector('.kept[data-state="apart"]')
  expect(await page.locator('.rooms').getAttribute('data-ready')).not.toBeNull()
  const again = await serve(server.book, new URL(server.origin).port)
  const fresh = await context.newPage()
  await fresh.goto(again.link) // the link of the new run, which lets this browser in
  await kept(page) // by itself
  await page.close()
  await fresh.reload()
  await ready(fresh)
  expect(await title(fresh)).toBe('While it was gone')
  await again.stop()
})
