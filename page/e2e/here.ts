// A person for each test, who goes when the test is over; what the browser complained of meanwhile fails it. The tests of a file
// share one browser; each has a profile, a program and a book of its own.
import type { Browser } from 'playwright-core'
import { afterAll, afterEach, expect } from 'vitest'
import { launch, sit as sitDown, type Person, type Sitting } from './person'

let browser: Promise<Browser> | null = null
let here: Person[] = []

export async function sit(how: Sitting = {}): Promise<Person> {
  const person = await sitDown({ browser: await (browser ??= launch()), ...how })
  here.push(person)
  return person
}

afterEach(async () => {
  const going = here
  here = []
  for (const person of going) await person.leave()
  expect(going.flatMap(({ faults }) => faults)).toEqual([])
})

afterAll(async () => {
  await (await browser)?.close()
  browser = null
})
