// Package pages asks the system for the memory of a command in few and large pages, where it has
// them. It imports nothing, so that it is set up before the packages whose set-up touches memory.
package pages
