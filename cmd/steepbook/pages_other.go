//go:build !linux

package main

func largePages() {}
