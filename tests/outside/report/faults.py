"""What a check found wrong: told at once, and counted at the end."""
faults = []


def check(holds, text):
    if not holds:
        faults.append(text)
        print("FAULT:", text)
