"""Rules of a programme, by what each looks at; each is one function of a case."""
