# bash completion for steepbook. Once:  source <(steepbook completion bash)
# For good: steepbook completion bash > ~/.local/share/bash-completion/completions/steepbook
_steepbook() {
	local line word
	COMPREPLY=()
	while IFS= read -r line; do
		COMPREPLY+=("${line%%$'\t'*}")
	done < <(command steepbook completion words -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
	for word in "${COMPREPLY[@]}"; do
		case $word in *[=/]) compopt -o nospace ;; esac
		case $word in *[!A-Za-z0-9_./=-]*) compopt -o filenames ;; esac # readline then quotes it
	done
}
complete -F _steepbook steepbook
