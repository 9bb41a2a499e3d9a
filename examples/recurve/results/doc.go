// Package results makes the text files of a job that was worked through: sheet.txt
// for the garage wall ([Sheet]), curves.csv for a spreadsheet ([Table]) and
// result.json for another program ([JSON]). The plot is made by package plots
// beside it. Whoever offers these files, the command or a page, offers the same
// bytes.
package results
