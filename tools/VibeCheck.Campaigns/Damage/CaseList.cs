using System.Globalization;
using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.Campaigns.Damage;

/// <summary>A CSV file of all cases. Each is written when it ends, so that a stopped campaign leaves its results.</summary>
internal sealed class CaseList : IDisposable
{
    private readonly StreamWriter? _file;
    private readonly Lock _one = new();

    /// <param name="path">File to write; null for none.</param>
    internal CaseList(string? path)
    {
        _file = path is null ? null : new StreamWriter(path) { AutoFlush = true };
        _file?.WriteLine("subject;kind;severity;shown;job;side;outcome;wrong;reversed;motors_wrong;needless;further;seconds;text");
    }

    /// <summary>The cases of earlier runs; of a case in several runs, the last.</summary>
    internal static IReadOnlyList<CaseResult> Read(IEnumerable<string> paths, IReadOnlyList<DamageKind> kinds)
    {
        Dictionary<(string, string), DamageKind> byName = kinds.ToDictionary(k => (k.Subject, k.Name));
        Dictionary<string, CaseResult> cases = [];
        foreach (string[] c in paths.SelectMany(p => File.ReadLines(p).Skip(1)).Select(l => l.Split(';')))
        {
            if (
                byName.TryGetValue((c[0], c[1]), out DamageKind? kind)
                && kind.Severities.FirstOrDefault(s => s.Label == c[2]) is { } severity
            )
            {
                cases[string.Join(';', c[..6])] = new()
                {
                    Kind = kind,
                    Severity = severity,
                    Job = int.Parse(c[4], CultureInfo.InvariantCulture),
                    After = c[5] == "after",
                    Outcome = Enum.Parse<Outcome>(c[6]),
                    WrongAnswers = c[7],
                    Reversed = bool.Parse(c[8]),
                    MotorsWrong = bool.Parse(c[9]),
                    Needless = bool.Parse(c[10]),
                    WrongFurther = c[11],
                    Seconds = double.Parse(c[12], CultureInfo.InvariantCulture),
                    Text = c[13],
                };
            }
        }

        return [.. cases.Values];
    }

    public void Dispose() => _file?.Dispose();

    internal void Add(CaseResult r)
    {
        string side = r.After ? "after" : "before",
            shown = r.Severity.Hidden is null ? "yes" : "no";
        lock (_one)
        {
            _file?.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{r.Kind.Subject};{r.Kind.Name};{r.Severity.Label};{shown};{r.Job};{side};{r.Outcome};{r.WrongAnswers};{r.Reversed};"
                        + $"{r.MotorsWrong};{r.Needless};{r.WrongFurther};{r.Seconds:0.00};{r.Text.Replace(';', '|')}"
                )
            );
        }
    }
}
