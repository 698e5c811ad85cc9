// The phone's fold under node: plans and lists of answers in as JSON on standard input, how far each list was taken out.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const { fold, nextStep, state } = await import(pathToFileURL(process.argv[2]).href);
const cases = JSON.parse(readFileSync(0, "utf8"));
const told = cases.map(({ plan, lists }) =>
  lists.map((answers) => {
    const { round, problem } = fold(plan, answers);
    return { taken: round.log.length, next: nextStep(round)?.id ?? null, state: state(round), problem: problem ? problem.message : "" };
  }),
);
process.stdout.write(JSON.stringify(told));
