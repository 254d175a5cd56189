// Reads a query in its own language: prints `reads`, or what its parser says against it.
import { DefaultSettings, TaskUtils } from "@microsoft/powerquery-parser";
import { readFileSync } from "node:fs";

const text = readFileSync(process.argv[2], "utf8").replaceAll("\r\n", "\n");
const task = await TaskUtils.tryLexParse(DefaultSettings, text);
console.log(TaskUtils.isParseStageOk(task) ? "reads" : `refused: ${task.error?.message}`);
