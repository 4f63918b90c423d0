# bash completion for steepbook. Once:  source <(steepbook completion bash)
# For good: steepbook completion bash > ~/.local/share/bash-completion/completions/steepbook
_steepbook() {
	local line word
	COMPREPLY=()
	while IFS= read -r line; do
		word=${line%%$'\t'*}
		case $word in *[=/]) compopt -o nospace ;; esac
		case ${COMP_WORDS[COMP_CWORD]} in
		[\"\']*) compopt -o filenames ;; # within marks that are open readline quotes it
		*) printf -v word %q "$word" ;;
		esac
		COMPREPLY+=("$word")
	done < <(command steepbook completion words -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -F _steepbook steepbook
