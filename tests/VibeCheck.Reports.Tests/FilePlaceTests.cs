using VibeCheck.Reports.Files;

namespace VibeCheck.Reports.Tests;

public sealed class FilePlaceTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("file-place");

    public void Dispose() => _folder.Delete(recursive: true);

    private string In(string name) => Path.Combine(_folder.FullName, name);

    private bool Same(string a, string b) => FilePlace.Of(In(a)).IsSameFileAs(FilePlace.Of(In(b)));

    [Fact]
    public void Two_files_are_two_even_with_the_same_content()
    {
        File.WriteAllText(In("a"), "x");
        File.WriteAllText(In("b"), "x");
        Assert.False(Same("a", "b"));
        Assert.True(Same("a", "a"));
        Assert.False(Same("a", "none"));
    }

    [Fact]
    public void Files_that_do_not_exist_yet_are_compared_by_folder_and_name_ignoring_case()
    {
        Directory.CreateDirectory(In("sub"));
        Assert.True(Same("new", "sub/../new"));
        Assert.True(Same("new.html", "NEW.HTML"));
        Assert.True(Same("caf\u00e9", "cafe\u0301"));
        Assert.False(Same("new", "sub/new"));
        Assert.False(Same("new", "newer"));
        Assert.False(Same("none/new", "none/newer"));
    }

    [Fact]
    public void A_link_is_where_it_leads()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("links need rights on this system");
        }

        Directory.CreateDirectory(In("sub"));
        File.WriteAllText(In("sub/a"), "x");
        File.CreateSymbolicLink(In("soft"), "sub/a");
        File.CreateSymbolicLink(In("round"), In("round"));
        File.CreateSymbolicLink(In("by"), "sub");
        File.CreateSymbolicLink(In("later"), "sub/later");
        Assert.True(Same("soft", "sub/a"));
        Assert.True(Same("by/a", "soft"));
        Assert.True(Same("later", "by/later"));
        Assert.Equal(FilePlaceKind.Nothing, FilePlace.Of(In("later")).Kind);
        Assert.False(Same("round", "soft"));
    }

    [Fact]
    public void Devices_and_pipes_are_never_the_same_file()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("no such devices on this system");
        }

        FilePlace nothing = FilePlace.Of("/dev/null");
        Assert.Equal(FilePlaceKind.Stream, nothing.Kind);
        Assert.False(nothing.IsSameFileAs(nothing));
        Assert.Equal(FilePlaceKind.Folder, FilePlace.Of(_folder.FullName).Kind);
    }
}
