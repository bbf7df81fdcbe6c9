using System.IO.Compression;
using VibeCheck.Core.Airframes;
using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>Makes complete jobs of short flights with faults in the logs, in the files written by hand, in the options or in the output
/// paths. The same number gives the same case.</summary>
public sealed class PipelineCases
{
    private const string Survey =
        "motor,when,where,direction,angle_deg,low_side,note\nM1,as-found,frame,across,0.0,level,\nM1,as-found,mount,across,0.4,right,warm\n"
        + "M2,as-found,frame,across,0.1,left,\nM2,as-found,mount,across,0.3,left,\nM1,as-left,frame,across,0.0,level,\n"
        + "M1,as-left,mount,across,0.1,right,\n"
        + "M3,as-found,frame,along,0.0,level,\nM3,as-found,mount,along,0.2,in,\n";

    private readonly (FlightSheets Before, FlightSheets After)[] _flights;
    private readonly string _folder;
    private readonly string _airframe;

    /// <summary>Prepares the flights to be damaged.</summary>
    /// <param name="folder">Folder for the files of a case; they replace those of the case before.</param>
    public PipelineCases(string folder)
    {
        _folder = folder;
        Airframe airframe = DemoAirframes.Ring(4, "Quad", 3, 0.3, 2);
        _airframe = SampleJob.AirframeToml(airframe);
        _flights = [.. DamageJob.Forms.Select((form, i) => (Sheets(airframe, form, 2 * i), Sheets(airframe, form, 2 * i + 1)))];
    }

    /// <summary>Writes the files of a case.</summary>
    /// <param name="number">The number of the case.</param>
    /// <param name="damaged">False leaves everything undamaged, to measure the usual time.</param>
    public PipelineCase Make(int number, bool damaged = true)
    {
        foreach (string old in Directory.GetFiles(_folder))
        {
            File.Delete(old);
        }

        var random = new Random(unchecked((int)((number + 1) * 2654435761L)));
        var what = new List<string>();
        var hurt = new Hurt(damaged ? Subjects(random) : Subject.None, random, what);
        (FlightSheets before, FlightSheets after) = _flights[random.Next(_flights.Length)];
        string[] first = Logs(before, "before", hurt),
            second = Logs(after, "after", hurt);
        string airframe = Text(
            "airframe.toml",
            hurt.Draw(Subject.Typed, 3, "airframe key") ? TypedMutations.Toml(_airframe, random) : _airframe
        );
        string columns = Text(
            "columns.toml",
            hurt.Draw(Subject.Typed, 6, "columns key") ? TypedMutations.Toml(ColumnsToml(before), random) : ColumnsToml(before)
        );
        string[] inputs = [.. first, .. second, airframe, columns];
        if (random.Next(5) < 2)
        {
            string survey = Text("survey.csv", hurt.Draw(Subject.Typed, 3, "survey cell") ? TypedMutations.Survey(Survey, random) : Survey);
            string toml = JobToml(first, second, random);
            string job = Text("job.toml", hurt.Draw(Subject.Typed, 3, "job key") ? TypedMutations.Toml(toml, random) : toml);
            inputs = [.. inputs, survey, job];
            string[] named = ["--before", .. first, "--after", .. second, "--airframe", airframe, "--survey", survey];
            return new(
                number,
                [
                    "compare",
                    .. random.Next(4) == 0 ? named : [job],
                    .. random.Next(8) == 0 ? (string[])["--ignore-dates"] : [],
                    .. Outputs(hurt, inputs),
                ],
                inputs,
                what
            );
        }

        List<string> args = ["flight", "--imu", first[0], .. first.Length > 1 ? (string[])["--esc", first[1]] : [], "--airframe", airframe];
        args.AddRange(hurt.Draw(Subject.Options, 4, "columns file given") ? ["--columns", columns] : []);
        args.AddRange(hurt.Draw(Subject.Logs, 30, "two parts") ? ["--imu", second[0]] : []);
        for (int n = hurt.Draw(Subject.Options, 1, "options") ? 1 + random.Next(2) : 0; n > 0; n--)
        {
            args.AddRange(OptionHazards.OfFlight(random));
        }

        // This command may overwrite files that it was not given as inputs.
        return new(number, [.. args, .. Outputs(hurt, inputs)], [.. inputs.Where(args.Contains)], what);
    }

    private IEnumerable<string> Outputs(Hurt hurt, string[] inputs)
    {
        int count = hurt.Draw(Subject.Outputs, 1, "outputs") ? 1 + hurt.Random.Next(2) : 0;
        return
        [
            .. Enumerable.Range(0, count).SelectMany(_ => OptionHazards.Output(hurt.Random, _folder, inputs)),
            .. hurt.Random.Next(4) == 0 ? (string[])["--plain"] : [],
        ];
    }

    private string Text(string name, string text)
    {
        string path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }

    private string[] Logs(FlightSheets flight, string name, Hurt hurt)
    {
        string imu = Log(flight.Imu, flight.Form, name + "-imu.csv", hurt);
        return flight.Esc is null ? [imu] : [imu, Log(flight.Esc, flight.Form, name + "-esc.csv", hurt)];
    }

    private string Log(LogSheet whole, LogFormRecipe form, string name, Hurt hurt)
    {
        Random random = hurt.Random;
        string path = Path.Combine(_folder, name);
        LogSheet sheet = whole;
        if (hurt.Draw(Subject.Logs, 3, null))
        {
            sheet = whole.Copy();
            // Hazards that remove columns are applied last, because the others need the columns.
            foreach (
                SheetHazard hazard in Enumerable
                    .Range(0, 1 + random.Next(3))
                    .Select(_ => SheetHazard.All[random.Next(SheetHazard.All.Count)])
                    .OrderBy(RowHazards.All.Contains)
            )
            {
                hurt.What.Add($"{name}: {hazard.Name}");
                sheet = hazard.Apply(sheet, random);
            }
        }

        SheetWriter.Write(sheet, form, path);
        if (hurt.Draw(Subject.Logs, 25, $"{name}: bytes"))
        {
            List<byte> bytes = [.. File.ReadAllBytes(path)];
            for (int n = 1 + random.Next(4); n > 0 && bytes.Count > 0; n--)
            {
                LogMutations.Change(bytes, random);
            }

            File.WriteAllBytes(path, [.. bytes]);
        }

        return hurt.Draw(Subject.Logs, 25, $"{name}: packed") ? Packed(path, random) : path;
    }

    private static string Packed(string path, Random random)
    {
        using var packed = new MemoryStream();
        using (var gz = new GZipStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            gz.Write(File.ReadAllBytes(path));
        }

        File.Delete(path);
        byte[] bytes = packed.ToArray();
        File.WriteAllBytes(path + ".gz", random.Next(2) == 0 ? bytes : bytes[..random.Next(bytes.Length + 1)]);
        return path + ".gz";
    }

    private static string JobToml(string[] before, string[] after, Random random)
    {
        string Entry(string[] logs) =>
            $"imu = \"{Path.GetFileName(logs[0])}\"\n"
            + (logs.Length > 1 ? $"esc = \"{Path.GetFileName(logs[1])}\"\n" : "")
            + "ambient_c = 20\n";
        const string Head = "title = \"t\"\nairframe = \"airframe.toml\"\nsurvey = \"survey.csv\"\n";
        const string Thresholds = "[thresholds]\nchange_db = 1\nchange_c = 2\nflight_scatter_db = 1\nflight_scatter_c = 1\n";
        return random.Next(3) switch
        {
            0 => $"{Head}{Thresholds}[[before]]\n{Entry(before)}name = \"n\"\nimu_unit = 1\n[[after]]\n{Entry(after)}",
            1 => $"{Head}[[stage]]\nname = \"one\"\ndate = \"2026-05-31\"\n[[stage.flight]]\n{Entry(before)}[[stage]]\nname = "
                + $"\"two\"\ndate = \"2026-06-01\"\n[[stage.flight]]\n{Entry(after)}",
            _ => $"{Head}columns = \"columns.toml\"\n[[before]]\n{Entry(before)}clock_offset_s = 0.5\n[[after]]\n{Entry(after)}",
        };
    }

    private static string ColumnsToml(FlightSheets flight)
    {
        string Column(LogColumn c, string channel) => $"[[column]]\nheader = \"{c.Header}\"\nis = \"{channel}\"\nscale = 1.0\n";
        return string.Concat(flight.Imu.Acceleration.Select((c, i) => Column(c, "acc_" + "xyz"[i])));
    }

    private static FlightSheets Sheets(Airframe airframe, LogFormRecipe form, int seed)
    {
        SimulatedFlight flight = SimulatedFlight.Make(
            new FlightRecipe
            {
                Airframe = airframe,
                Seed = seed,
                Rotors = [.. Enumerable.Range(0, airframe.Motors.Count).Select(_ => new RotorSource([new(1, 0.5), new(2, 0.3)]))],
                GroundS = 1,
                ClimbS = 1,
                HoverS = 9,
                LandingS = 1,
                ImuRateHz = 160,
                TelemetryHz = 10,
                MotorRiseC = [.. airframe.Motors.Select(_ => 30.0)],
                EscRiseC = [.. airframe.Motors.Select(_ => 20.0)],
            }
        );
        return FlightSheets.Of(flight, form, seed % 4 == 0 ? 20e-6 : 0);
    }

    /// <summary>Draws what a case damages: in most cases the logs alone, so that the damage reaches the analysis; sometimes
    /// everything.</summary>
    private static Subject Subjects(Random random) =>
        random.Next(20) switch
        {
            < 14 => Subject.Logs,
            < 16 => Subject.Typed,
            16 => Subject.Options,
            17 => Subject.Outputs,
            18 => Subject.Options | Subject.Logs,
            _ => Subject.Logs | Subject.Typed | Subject.Options | Subject.Outputs,
        };

    [Flags]
    private enum Subject
    {
        None = 0,
        Logs = 1,
        Typed = 2,
        Options = 4,
        Outputs = 8,
    }

    /// <summary>The inputs that may be damaged, and a list of the damage done.</summary>
    private sealed record Hurt(Subject Subjects, Random Random, List<string> What)
    {
        /// <summary>True with probability 1/<paramref name="oneIn"/> where the subject may be damaged.</summary>
        internal bool Draw(Subject subject, int oneIn, string? what)
        {
            bool drawn = Subjects.HasFlag(subject) && Random.Next(oneIn) == 0;
            if (drawn && what is not null)
            {
                What.Add(what);
            }

            return drawn;
        }
    }
}
